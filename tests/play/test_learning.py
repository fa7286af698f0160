"""What the demo's trainee has learnt: played through the same doors as by a person."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from baycompanion.learning.drill.recalls import Recalled
from baycompanion.play.learning import play_learning
from baycompanion.store.practice import list_practice
from baycompanion.store.recalls import due_counts, read_recalls
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile

DEMO = Path(__file__).parents[2] / "demo"
NOW = datetime(2026, 3, 6, 15, 0, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return open_shop(Path(shutil.copytree(DEMO / "shop", tmp_path / "shop")))


def test_the_demo_leaves_questions_due_and_a_practice_with_its_faults_caught(shop: Shop) -> None:
    play_learning((DEMO / "learning" / "trainee.yaml").read_text(), "learning.yaml", shop, NOW)
    answers = [e.data for e in read_recalls(shop.folder, "T-19") if isinstance(e.data, Recalled)]
    assert [answer.right for answer in answers[:10]] == [n not in (3, 7) for n in range(1, 11)]
    assert len({answer.card for answer in answers}) == 20, "ten new ones on each day"
    assert due_counts(shop.folder, NOW)["T-19"] > 0
    (practice,) = list_practice(shop.folder, "T-19")
    assert practice.ended_at is not None
    assert [planted.slipped for planted in practice.planted] == ["", ""]
    assert not practice.not_looked
    assert not list((shop.folder / "jobs").iterdir())


@pytest.mark.parametrize(
    ("text", "error", "said"),
    [
        ("learner: T-19", BadFile, "procedure"),
        ("learner: T-19\nprocedure: x\ndrills: [{ days-ago: 0 }]", BadFile, "learning.yaml:3"),
        ("learner: X-1\nprocedure: receiver-swap", StoreTrouble, "is not on the staff"),
        ("learner: T-19\nprocedure: receiver-swop", StoreTrouble, "receiver-swop"),
    ],
)
def test_what_cannot_be_played_is_told(
    shop: Shop, text: str, error: type[Exception], said: str
) -> None:
    with pytest.raises(error) as raised:
        play_learning(text, "learning.yaml", shop, NOW)
    assert said in str(raised.value)
