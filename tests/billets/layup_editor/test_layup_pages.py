"""The layups' list, and what its buttons do."""

from typing import Any

import pytest
from django.urls import reverse

from billets.models import Layup
from tests.kinds import Client, DjangoAssertNumQueries, MakeLayup, Person, ShopSettings


def url(name: str, *args: Any) -> str:
    """Address of a page of this floor."""
    return reverse(f"billets:{name}", args=args)


def test_an_empty_shop_is_told_what_a_layup_is_for(as_helper: Client) -> None:
    response = as_helper.get(url("layup-list"))

    assert response.status_code == 200
    assert "No layup yet." in response.text
    assert response.text.count(url("layup-add")) == 1


def test_the_list_shows_each_stack_with_its_window_and_its_worst_finding(
    as_helper: Client, make_layup: MakeLayup
) -> None:
    make_layup(name="Sound five", cleaning_loss_nm=0)
    make_layup(name="Steel on steel", layers=[("1084", 3_175_000, "cladding")] * 2)

    text = as_helper.get(url("layup-list")).text

    assert "Sound five" in text
    assert text.count('class="layup-mini"') == 2
    assert "1500 °F · 816 °C to 1828 °F · 998 °C" in text  # C10200: 1083 °C less 65 and 20


@pytest.mark.parametrize("count", [1, 12])
def test_the_list_asks_the_database_no_more_for_many_layups(
    as_owner: Client,
    make_layup: MakeLayup,
    count: int,
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    for number in range(count):
        make_layup(name=f"Stack {number}")

    with django_assert_max_num_queries(8):
        assert as_owner.get(url("layup-list")).status_code == 200


def test_a_copy_has_its_own_name_and_layers_and_no_reason_for_a_stop(
    as_helper: Client, make_layup: MakeLayup, owner: Person
) -> None:
    layup = make_layup(name="Five", override_reason="tried it", override_by=owner)

    response = as_helper.post(url("layup-copy", layup.pk))

    copy = Layup.objects.get(name="Five (copy)")
    assert response["Location"] == url("layup-edit", copy.pk)
    assert [row.alloy for row in copy.layers.all()] == ["1084", "c10200", "1095", "c10200", "1084"]
    assert (copy.override_reason, copy.override_by) == ("", None)
    assert Layup.objects.get(name="Five").layers.count() == 5


def test_a_second_copy_takes_the_next_name(as_helper: Client, make_layup: MakeLayup) -> None:
    layup = make_layup(name="Five")
    as_helper.post(url("layup-copy", layup.pk))

    as_helper.post(url("layup-copy", layup.pk))

    assert Layup.objects.filter(name="Five (copy 2)").exists()


def test_a_layup_that_is_put_away_leaves_the_list_and_can_come_back(
    as_helper: Client, make_layup: MakeLayup
) -> None:
    layup = make_layup(name="Old five")

    as_helper.post(url("layup-retire", layup.pk))

    assert (
        "Old five"
        not in as_helper.get(url("layup-list")).text.split("<main")[1].split("No layup yet")[-1]
    )
    assert "Old five" in as_helper.get(url("layup-list") + "?retired=1").text
    as_helper.post(url("layup-retire", layup.pk))
    assert Layup.objects.get().is_retired is False


@pytest.mark.parametrize("name", ["layup-copy", "layup-retire"])
def test_a_link_alone_copies_and_puts_away_nothing(
    as_owner: Client, make_layup: MakeLayup, name: str
) -> None:
    layup = make_layup()

    response = as_owner.get(url(name, layup.pk))

    assert response.status_code == 405
    assert list(Layup.objects.values_list("is_retired", flat=True)) == [False]


@pytest.mark.parametrize("name", ["layup-list", "layup-add"])
def test_a_stranger_is_sent_to_the_door(client: Client, shop_row: ShopSettings, name: str) -> None:
    response = client.get(url(name))

    assert response.status_code == 302
    assert "/sign-in/" in response["Location"]
