"""The business floor."""

from django.apps import AppConfig


class ShopConfig(AppConfig):
    """Settings, people, classes, costs."""

    name = "shop"

    def ready(self) -> None:
        """Let the lower floors show this floor's figures and name its jobs."""
        from billets.known import how_we_know
        from shop.knives import clock
        from shop.words.job_names import class_words, knife_words
        from stock.ledger import jobs, triggers

        how_we_know.also_show("shop", words="Classes, money, dates and paper")
        clock.listen()
        jobs.register("class", class_words)
        jobs.register("knife", knife_words)
        triggers.keep("shop_seatpayment", rows="payments")
