"""One sitting of a drill: what is asked, what is kept of it, and what comes of it."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from drilled import SHELF_LAMP, answers, make_drill_shop, write_lamp

from baycompanion.job.deciding.draft import Person
from baycompanion.learning.drill.schedule import NEW_A_DAY
from baycompanion.store.recalls import due_counts, read_recalls, recalls_path
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.working.drilling import MOST_TIMES, Sitting, Wish, read_deck, sit_down
from baycompanion.working.to_learn import to_learn

T3 = Person("T3", "trainee")


class Clock:
    """A clock that moves when it is told to."""

    def __init__(self) -> None:
        self.at = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.at


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return make_drill_shop(tmp_path / "shop")


def sit(shop: Shop, clock: Clock, **wish: object) -> Sitting:
    return sit_down(shop, T3, "shelf-lamp", Wish(**wish), clock)  # type: ignore[arg-type]


def answer_all(sitting: Sitting, right: bool = True) -> list[str]:
    """Answer until the sitting is over; return the cards that were asked, one after the other."""
    asked = []
    while sitting.question is not None:
        given = answers(sitting.question, right) or answers(sitting.question, True)
        assert given is not None
        asked.append(sitting.question.card.name)
        sitting.answer(given)
        sitting.go_on()
    return asked


def kept(shop: Shop) -> list[tuple[str, bool, str]]:
    return [(e.data.card, e.data.right, e.data.rating) for e in read_recalls(shop.folder, "T3")]  # type: ignore[attr-defined]


def test_new_questions_come_in_the_order_of_the_procedure_and_are_kept_at_once(
    shop: Shop, clock: Clock
) -> None:
    sitting = sit(shop, clock)
    deck = read_deck(shop, "shelf-lamp")
    first = [card.name for card in deck.cards[:NEW_A_DAY]]
    assert sitting.total == len(first)
    given = answers(sitting.question, True)
    assert given is not None
    sitting.answer(given)
    assert kept(shop) == [(first[0], True, "good")], "before anything else is asked"
    sitting.go_on()
    assert [first[0], *answer_all(sitting)] == first
    outcome = sitting.outcome()
    assert (outcome.asked, outcome.right, outcome.helped, outcome.left) == (len(first),) * 2 + (
        0,
        0,
    )


def test_a_wrong_one_comes_again_after_the_others_and_not_for_ever(
    shop: Shop, clock: Clock
) -> None:
    sitting = sit(shop, clock, most=3)
    names = [sitting.question.card.name] if sitting.question else []
    wrong = answers(sitting.question, False)
    assert wrong is not None
    assert not sitting.answer(wrong).right
    sitting.go_on()
    asked = answer_all(sitting)
    assert asked[-1] == names[0] and asked.count(names[0]) == 1
    assert sitting.outcome().right == 2
    assert len(answer_all(sit(shop, clock, most=1, all_cards=True), right=False)) == MOST_TIMES


def test_a_hint_is_more_than_nothing_and_makes_right_hard(shop: Shop, clock: Clock) -> None:
    sitting = sit(shop, clock, most=1)
    assert sitting.help() == sitting.hint != ""
    given = answers(sitting.question, True)
    assert given is not None
    sitting.answer(given)
    assert [rating for _, _, rating in kept(shop)] == ["hard"]
    assert (sitting.outcome().right, sitting.outcome().helped) == (0, 1)
    sitting.go_on()
    assert sitting.hint == ""


def test_what_is_due_comes_back_when_it_is_due_and_nothing_else(shop: Shop, clock: Clock) -> None:
    answer_all(sit(shop, clock, most=4))
    clock.at += timedelta(minutes=9)
    deck = read_deck(shop, "shelf-lamp")
    new = min(NEW_A_DAY, len(deck.cards)) - 4
    assert sit(shop, clock).total == new
    assert due_counts(shop.folder, clock.at) == {}
    clock.at += timedelta(minutes=1)
    assert sit(shop, clock).total == new + 4
    assert due_counts(shop.folder, clock.at) == {"T3": 4}
    answer_all(sit(shop, clock, most=4))
    assert due_counts(shop.folder, clock.at) == {}


def test_nothing_due_is_a_sitting_without_a_question_that_says_when(
    shop: Shop, clock: Clock
) -> None:
    answer_all(sit(shop, clock))
    answer_all(sit(shop, clock))
    deck = read_deck(shop, "shelf-lamp")
    for _ in range(3):
        clock.at += timedelta(minutes=10)
        answer_all(sit(shop, clock))
    sitting = sit(shop, clock)
    assert sitting.question is None
    outcome = sitting.outcome()
    assert outcome.asked == outcome.left == 0
    assert outcome.unseen == max(0, len(deck.cards) - NEW_A_DAY)
    assert min(outcome.known) > clock.at
    assert sit(shop, clock, all_cards=True).total == len(deck.cards)


def test_one_phase_alone_asks_of_that_phase_alone(shop: Shop, clock: Clock) -> None:
    deck = read_deck(shop, "shelf-lamp")
    asked = answer_all(sit(shop, clock, phase="fit", all_cards=True))
    assert asked == [card.name for card in deck.cards if card.phase == "fit"] != []
    with pytest.raises(StoreTrouble, match=r"no phase “fti” here\. Write one of: look, fit\."):
        sit(shop, clock, phase="fti")


def test_without_a_procedure_it_is_all_that_was_begun_with(shop: Shop, clock: Clock) -> None:
    with pytest.raises(StoreTrouble, match=r"begun with no procedure yet\. Write one of: "):
        sit_down(shop, T3, None, Wish(), clock)
    answer_all(sit(shop, clock, most=2))
    clock.at += timedelta(minutes=10)
    sitting = sit_down(shop, T3, None, Wish(), clock)
    assert [deck.procedure.procedure for deck in sitting.decks] == ["shelf-lamp"]
    assert sitting.total > 2


def test_a_new_revision_brings_back_what_it_changed(shop: Shop, clock: Clock) -> None:
    answer_all(sit(shop, clock, all_cards=True))
    clock.at += timedelta(minutes=10)
    answer_all(sit(shop, clock, all_cards=True))
    assert sit(shop, clock).total == 0
    before = {card.name: card.face for card in read_deck(shop, "shelf-lamp").cards}
    newer = SHELF_LAMP.replace("Press it for a minute", "Press it for two minutes")
    write_lamp(shop.folder, newer.replace("revision: 1", "revision: 2"))
    after = read_deck(shop, "shelf-lamp").cards
    changed = {card.name for card in after if before.get(card.name) != card.face}
    sitting = sit(shop, clock)
    assert set(answer_all(sitting)) == changed
    assert 0 < len(changed) < len(after)
    assert sit(shop, clock).total == 0
    assert read_recalls(shop.folder, "T3")[-1].data.revision == 2  # type: ignore[attr-defined]


def test_what_no_procedure_asks_any_more_is_put_aside_by_the_list_and_due_nowhere(
    shop: Shop, clock: Clock
) -> None:
    asked = answer_all(sit(shop, clock, most=3))
    clock.at += timedelta(hours=1)
    assert due_counts(shop.folder, clock.at) == {"T3": 3}
    (shop.procedures / "shelf-lamp.yaml").rename(shop.folder / "away.yaml")
    list(to_learn(shop, T3, clock.at))
    assert due_counts(shop.folder, clock.at) == {}
    lines = recalls_path(shop.folder, "T3").read_text(encoding="utf-8").splitlines()
    list(to_learn(shop, T3, clock.at))
    assert len(recalls_path(shop.folder, "T3").read_text(encoding="utf-8").splitlines()) == len(
        lines
    ), "once is enough"
    (shop.folder / "away.yaml").rename(shop.procedures / "shelf-lamp.yaml")
    again = sit(shop, clock, most=3)
    assert set(answer_all(again)) == set(asked), "nothing is forgotten"


def test_what_two_procedures_share_is_asked_once_and_stays_due_where_one_is_left(
    shop: Shop, clock: Clock
) -> None:
    other = SHELF_LAMP.replace("procedure: shelf-lamp", "procedure: desk-lamp")
    other = other.replace("Press it for a minute", "Press it hard")
    (shop.procedures / "desk-lamp.yaml").write_text(other, encoding="utf-8")
    faces = {card.face for card in read_deck(shop, "desk-lamp").cards}
    shared = [card for card in read_deck(shop, "shelf-lamp").cards if card.face in faces]
    assert 0 < len(shared) < len(faces)
    answer_all(sit(shop, clock, all_cards=True))
    clock.at += timedelta(minutes=10)
    desk = sit_down(shop, T3, "desk-lamp", Wish(all_cards=True), clock)
    answer_all(desk)
    clock.at += timedelta(minutes=10)
    answer_all(sit_down(shop, T3, None, Wish(), clock))
    asked = [event.data for event in read_recalls(shop.folder, "T3")]
    clock.at += timedelta(days=30)
    both = sit_down(shop, T3, None, Wish(), clock)
    assert both.total == len({each.face for each in asked})  # type: ignore[attr-defined]
    assert due_counts(shop.folder, clock.at) == {"T3": both.total}
    (shop.procedures / "shelf-lamp.yaml").unlink()
    list(to_learn(shop, T3, clock.at))
    assert due_counts(shop.folder, clock.at) == {"T3": len(faces)}


def test_the_list_says_what_is_due_and_new_and_what_cannot_be_read(
    shop: Shop, clock: Clock
) -> None:
    answer_all(sit(shop, clock, most=2))
    clock.at += timedelta(minutes=10)
    (shop.procedures / "broken.yaml").write_text("procedure: broken\n", encoding="utf-8")
    rows = {row.procedure: row for row in to_learn(shop, T3, clock.at)}
    lamp = rows["shelf-lamp"]
    assert lamp.standing is not None and lamp.deck is not None
    assert (lamp.standing.due, lamp.standing.seen) == (2, 2)
    assert lamp.new_today == min(NEW_A_DAY, len(lamp.deck.cards)) - 2
    assert "broken.yaml" in rows["broken"].trouble
    assert "receiver-swap" in rows


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("done: lead", "done: laed", "laed"),
        ("title: Look first", "titel: Look first", "titel"),
        ("phases:", "phases", "shelf-lamp.yaml"),
    ],
)
def test_a_procedure_with_errors_is_told_with_its_line_and_nothing_is_asked(
    shop: Shop, clock: Clock, old: str, new: str, told: str
) -> None:
    write_lamp(shop.folder, SHELF_LAMP.replace(old, new))
    with pytest.raises(BadFile, match=told):
        sit(shop, clock)
    assert not (shop.folder / "learning").exists()


def test_an_answer_that_cannot_be_kept_leaves_the_question_in_hand(
    shop: Shop, clock: Clock
) -> None:
    sitting = sit(shop, clock)
    given = answers(sitting.question, True)
    assert given is not None
    (shop.folder / "learning").write_text("", encoding="utf-8")
    question = sitting.question
    with pytest.raises(StoreTrouble):
        sitting.answer(given)
    assert (sitting.question, sitting.verdict, sitting.outcome().asked) == (question, None, 0)
    (shop.folder / "learning").unlink()
    sitting.answer(given)
    assert sitting.outcome().asked == 1


def test_two_people_side_by_side_see_their_options_in_orders_of_their_own(
    shop: Shop, clock: Clock
) -> None:
    orders = set()
    for who in ("T3", "S1", "T4", "T5", "T6"):
        sitting = sit_down(shop, Person(who, "trainee"), "shelf-lamp", Wish(all_cards=True), clock)
        seen = []
        while sitting.question is not None:
            seen.append(tuple(option.name for option in sitting.question.options))
            sitting.go_on()
        orders.add(tuple(seen))
    assert len(orders) > 1
