"""A private entry leaves no trace of its words: not in the journal, not in the record."""

import json

import pytest
from bay import Bay
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.job.actions import Answer, Reopen
from baycompanion.job.deciding.answers import KEPT_PRIVATE
from baycompanion.job.events.chain import canonical
from baycompanion.store.job.folder import record_bytes


def everything_written(bay: Bay) -> str:
    lines = [canonical(event.as_dict()).decode() for event in bay.events]
    return "\n".join([*lines, record_bytes(bay.record()).decode()])


@pytest.mark.parametrize(
    "answer",
    [
        Answer(answer="code", value="SECRET-4711"),
        Answer(answer="code", value="x", words="SECRET-4711"),
        Answer(answer="code", value="SECRET-4711", entries=("SECRET-4711",)),
    ],
)
def test_only_that_it_was_noted_is_kept(answer: Answer) -> None:
    bay = Bay().walk("code")
    bay.do(answer)
    assert "SECRET" not in everything_written(bay)
    assert bay.state.track("code").attempts[-1].answer.words == KEPT_PRIVATE
    assert bay.step("code") == "done"


def test_it_leaves_no_trace_when_it_is_refused_or_entered_again() -> None:
    bay = Bay().walk("code")
    bay.refused(Answer(answer="code", value=" ", words="SECRET"))
    bay.do(Answer(answer="code", value="SECRET-1"), Reopen(reopen="code", reason="misread"))
    bay.do(Answer(answer="code", value="SECRET-2"))
    assert "SECRET" not in everything_written(bay)


def test_why_it_was_not_noted_is_no_secret() -> None:
    bay = Bay().walk("code")
    bay.do(Answer(answer="code", outcome="not done", words="owner has it at home"))
    assert bay.state.track("code").attempts[-1].answer.words == "owner has it at home"


@given(st.text(alphabet="0123456789ABCDEF", min_size=12, max_size=40))
def test_no_code_ever_shows_up(code: str) -> None:
    secret = f"#{code}#"
    bay = Bay().walk("code")
    bay.do(Answer(answer="code", value=secret, words=secret))
    assert secret not in json.loads(json.dumps(everything_written(bay)))
