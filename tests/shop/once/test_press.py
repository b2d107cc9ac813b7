"""What makes two presses the same one."""

import pytest

from shop.once.press import acts, key_of

TOKEN = "k3J0aTq9VxYw-5nB"
GIVEN = {"work": ["draw"], "note": ["even"]}


def test_the_same_form_sent_twice_is_the_same_press() -> None:
    first = key_of(TOKEN, person=1, path="/b/", given=GIVEN | {"csrfmiddlewaretoken": ["one"]})

    assert first == key_of(
        TOKEN, person=1, path="/b/", given=GIVEN | {"csrfmiddlewaretoken": ["other"]}
    )
    assert len(first) == 64


@pytest.mark.parametrize(
    "other",
    [
        key_of(TOKEN[::-1], person=1, path="/b/", given=GIVEN),
        key_of(TOKEN, person=2, path="/b/", given=GIVEN),
        key_of(TOKEN, person=1, path="/c/", given=GIVEN),
        key_of(TOKEN, person=1, path="/b/", given=GIVEN | {"note": ["odd"]}),
        key_of(TOKEN, person=1, path="/b/", given=GIVEN | {"undo": [""]}),
        key_of(TOKEN, person=1, path="/b/", given=GIVEN, files=[("photo", "a.jpg", 9)]),
    ],
    ids=["form", "person", "place", "words", "button", "file"],
)
def test_anything_else_is_another_press(other: str) -> None:
    assert other != key_of(TOKEN, person=1, path="/b/", given=GIVEN)
    assert len(other) == 64


@pytest.mark.parametrize("token", ["", "short", "a b c d e f g h i j", "x" * 65])
def test_a_token_that_is_none_of_ours_guards_nothing(token: str) -> None:
    assert key_of(token, person=1, path="/b/", given=GIVEN) == ""


@pytest.mark.parametrize(
    ("sql", "is_act"),
    [
        ('INSERT INTO "billets_heat" VALUES (1)', True),
        ("  update stock_piece SET place = 'x'", True),
        ('DELETE FROM "shop_seat"', True),
        ('SELECT "shop_seat"."id" FROM "shop_seat" FOR UPDATE', False),
        ("SAVEPOINT s1", False),
        ('UPDATE "django_session" SET expire_date = 1', False),
        ('INSERT INTO "shop_press" VALUES (1)', False),
    ],
)
def test_only_what_writes_to_the_books_is_an_act(sql: str, is_act: bool) -> None:
    assert acts(sql) is is_act
