"""What is recorded of a billet: sizes, strange ones, and bars made of it."""

import pytest
from bs4 import BeautifulSoup

from billets.models import Bar, Heat, Measurement, Step
from stock.models import OwnAlloy
from tests.billets.billet_posts import BAR, SIZE, STEELS, post, url
from tests.conftest import IN
from tests.kinds import ClassMetal, Client, DjangoAssertNumQueries, MakeBillet, MakeLayup, Person


def test_a_struck_heat_stays_readable_and_the_next_takes_its_number(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="welded")
    post(as_helper, "billet-heat", billet, {"work": "set"})
    heat = Heat.objects.get()

    as_helper.post(url("billet-heat-strike", billet.mark, heat.pk))
    again = as_helper.post(url("billet-heat-strike", billet.mark, heat.pk))
    post(as_helper, "billet-heat", billet, {"work": "set"})

    assert again.status_code == 422
    assert [one.number for one in Heat.objects.order_by("id")] == [1, 1]
    assert "struck by Hugo" in as_helper.get(url("billet-detail", billet.mark)).text


def test_a_heat_of_another_billet_cannot_be_struck_from_here(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet, other = make_billet(stage="welded"), make_billet(stage="welded")
    post(as_helper, "billet-heat", other, {"work": "set"})

    response = as_helper.post(url("billet-heat-strike", billet.mark, Heat.objects.get().pk))

    assert response.status_code == 404


def test_a_measured_size_stands_beside_what_was_predicted(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="drawn")

    post(as_helper, "billet-size", billet, SIZE)

    size = Measurement.objects.get()
    assert (size.length_nm, size.heats, size.is_confirmed_strange) == (254_000_000, 7, False)
    page = BeautifulSoup(as_helper.get(url("billet-detail", billet.mark)).text, "html.parser")
    rows = [" ".join(one.text.split()) for one in page.select(".compared tbody tr")]
    assert len(rows) == 3
    assert rows[0].startswith("Length 10.000 in")


def test_a_size_that_the_metal_does_not_allow_is_questioned_and_kept_if_confirmed(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="drawn")
    strange = SIZE | {"length_nm": "20"}

    asked = post(as_helper, "billet-size", billet, strange)
    kept = post(as_helper, "billet-size", billet, strange | {"is_confirmed": "on"})

    assert asked.status_code == 422
    assert "Measure again, or confirm that it is so." in asked.text
    assert 'name="is_confirmed"' in asked.text
    assert kept.status_code == 302
    assert Measurement.objects.get().is_confirmed_strange


def test_an_honest_size_is_not_marked_strange_by_a_ticked_box(
    as_helper: Client, make_billet: MakeBillet
) -> None:
    billet = make_billet(stage="drawn")

    post(as_helper, "billet-size", billet, SIZE | {"is_confirmed": "on"})

    assert not Measurement.objects.get().is_confirmed_strange


@pytest.mark.parametrize("typed", ["0", "-3", "nan", "1e9 in", ""])
def test_a_size_that_cannot_be_is_refused(
    as_helper: Client, make_billet: MakeBillet, typed: str
) -> None:
    billet = make_billet(stage="drawn")

    response = post(as_helper, "billet-size", billet, SIZE | {"width_nm": typed})

    assert response.status_code == 422
    assert Measurement.objects.count() == 0


def test_a_finished_bar_of_steel_goes_on_the_rack_with_its_cost(
    as_owner: Client, make_layup: MakeLayup, make_billet: MakeBillet
) -> None:
    layup = make_layup(name="Folded bar", layers=STEELS, bar_folds=3)
    billet = make_billet(layup=layup, stage="finished")

    post(as_owner, "billet-bar", billet, BAR | {"place": "rack 2"})

    bar = Bar.objects.get()
    assert (bar.layer_count, bar.piece.on_hand, bar.piece.place) == (24, 10 * IN, "rack 2")
    assert OwnAlloy.objects.get().made_of == "1084 15n20"
    text = as_owner.get(url("billet-detail", billet.mark)).text
    assert f"{bar.piece.mark}</" in text
    assert "24 layers" in text
    assert "Make it a bar" not in text


def test_a_bar_cannot_hold_more_metal_than_its_stack_did(
    as_owner: Client, make_layup: MakeLayup, make_billet: MakeBillet
) -> None:
    # 5/16 in of stack, 6 by 1-1/4 in: 10 in long at 3/16 in, to the last grain.
    billet = make_billet(layup=make_layup(name="Bar", layers=STEELS), stage="finished")

    response = post(as_owner, "billet-bar", billet, BAR | {"length_nm": "10-1/64"})

    assert response.status_code == 422
    assert "All the metal of the stack is 10.000 in long" in response.text
    assert Bar.objects.count() == 0


def test_one_name_of_a_bar_stands_for_one_set_of_steels(
    as_owner: Client, make_layup: MakeLayup, make_billet: MakeBillet
) -> None:
    first = make_billet(layup=make_layup(name="Bar", layers=STEELS), stage="finished")
    again = make_billet(layup=first.layup, stage="finished")
    other = [("1095", IN // 4, "core"), ("15n20", IN // 8, "jacket")]
    second = make_billet(layup=make_layup(name="Other bar", layers=other), stage="finished")
    post(as_owner, "billet-bar", first, BAR)

    refused = post(as_owner, "billet-bar", second, BAR)
    post(as_owner, "billet-bar", again, BAR | {"name": " folded "})

    assert refused.status_code == 422
    assert "There is an alloy named Folded already, made of 1084 and 15n20" in refused.text
    assert OwnAlloy.objects.count() == 1
    assert Bar.objects.count() == 2


def test_names_that_look_alike_to_a_machine_are_kept_apart(
    as_owner: Client, make_layup: MakeLayup, make_billet: MakeBillet
) -> None:
    layup = make_layup(name="Bar", layers=STEELS)
    for name in ("Folded!", "Folded?", "折り返し", "鍛錬"):
        post(
            as_owner, "billet-bar", make_billet(layup=layup, stage="finished"), BAR | {"name": name}
        )

    keys = set(OwnAlloy.objects.values_list("key", flat=True))
    assert keys == {"own-folded", "own-folded-2", "own-bar", "own-bar-2"}


def test_copper_never_becomes_a_bar(as_owner: Client, make_billet: MakeBillet) -> None:
    billet = make_billet(stage="finished")

    response = post(as_owner, "billet-bar", billet, BAR)

    assert response.status_code == 422
    assert "has copper in it" in response.text
    assert Bar.objects.count() == 0


def test_a_bar_that_is_on_the_rack_keeps_its_history(
    as_owner: Client, make_layup: MakeLayup, make_billet: MakeBillet
) -> None:
    billet = make_billet(layup=make_layup(name="Bar", layers=STEELS), stage="finished")
    post(as_owner, "billet-bar", billet, BAR)

    page = as_owner.get(url("billet-detail", billet.mark)).text

    assert "Undo the last step" not in page
    assert "metal so far" not in page  # the bar has it now
    assert "what its metal cost went with it" in page


def test_a_helper_sees_no_money_on_a_billet(as_helper: Client, cut_billet: MakeBillet) -> None:
    billet = cut_billet()

    text = as_helper.get(url("billet-detail", billet.mark)).text

    assert "$" not in text
    assert "metal so far" not in text


def test_the_owner_sees_what_its_metal_is_worth_so_far(
    as_owner: Client, cut_billet: MakeBillet
) -> None:
    text = as_owner.get(url("billet-detail", cut_billet().mark)).text

    assert "metal so far $" in text


@pytest.mark.parametrize(
    "name",
    ["billet-step", "billet-fail", "billet-undo", "billet-heat", "billet-size", "billet-bar"],
)
def test_a_link_changes_no_billet_and_a_stranger_none_either(
    client: Client, owner: Person, make_billet: MakeBillet, name: str
) -> None:
    billet = make_billet(stage="welded")
    before = (Step.objects.count(), Heat.objects.count(), Measurement.objects.count())

    turned_away = post(client, name, billet, {"kind": "bonded", "cause": "other", **SIZE})
    client.force_login(owner)
    by_link = client.get(url(name, billet.mark))

    assert "/sign-in/" in turned_away.url
    assert by_link.status_code == 405
    assert (Step.objects.count(), Heat.objects.count(), Measurement.objects.count()) == before


def test_a_billets_page_asks_the_database_little(
    as_owner: Client, cut_billet: MakeBillet, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    billet = cut_billet()

    with django_assert_max_num_queries(24):
        as_owner.get(url("billet-detail", billet.mark))


def test_a_billet_of_a_class_leads_to_the_cut_list_that_it_waits_on(
    as_helper: Client, make_billet: MakeBillet, stocked: ClassMetal, owner: Person
) -> None:
    from stock.ledger import set_asides
    from stock.ledger.set_asides import Promise

    billet = make_billet()
    (row,) = set_asides.set_aside(
        plan="winter bench",
        by=owner,
        promises=[Promise(stocked["core"].pk, "blank", 6 * IN, billet.job, 1, length_nm=6 * IN)],
    )
    billet.blanks.filter(position=2).update(set_aside=row)

    text = as_helper.get(url("billet-detail", billet.mark)).text

    assert "1 of its blanks is not ticked on the cut list of winter bench yet." in text
