"""Who may take the keys: released for the procedure, and beside a mentor while they learn."""

from datetime import date
from pathlib import Path

import pytest

from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.staff.taking import take_keys, why_not_alone
from baycompanion.store.trouble import StoreTrouble

TODAY = date(2026, 3, 2)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    (tmp_path / "staff.yaml").write_text(
        "staff:\n"
        "  - {id: T1, role: technician, released-for: [door-speakers]}\n"
        "  - {id: T2, role: technician}\n"
        "  - {id: N1, role: trainee, released-for: []}\n",
        encoding="utf-8",
    )
    return open_shop(tmp_path)


def test_nobody_takes_a_job_by_a_procedure_they_are_not_released_for(shop: Shop) -> None:
    assert take_keys(shop, shop.person("T1"), ("door-speakers", 1), "", TODAY) is None
    assert take_keys(shop, shop.person("T2"), ("rear-camera", 1), "", TODAY) is None
    with pytest.raises(StoreTrouble) as refused:
        take_keys(shop, shop.person("T1"), ("rear-camera", 1), "", TODAY)
    assert str(refused.value) == (
        "T1 is not released for rear-camera. "
        "A supervisor can do that: baycompanion staff release T1 rear-camera"
    )


def test_a_trainee_learns_any_procedure_beside_a_mentor_and_none_alone(shop: Shop) -> None:
    assert take_keys(shop, shop.person("N1"), ("rear-camera", 1), "t2", TODAY) == "T2"
    with pytest.raises(StoreTrouble, match="works beside a mentor"):
        take_keys(shop, shop.person("N1"), ("rear-camera", 1), "", TODAY)


def _release(shop: Shop, until: str, revision: int = 1) -> None:
    (shop.folder / "staff.yaml").write_text(
        "staff:\n"
        "  - {id: T2, role: technician}\n"
        "  - id: N1\n"
        "    role: trainee\n"
        "    releases:\n"
        "      - {procedure: rear-camera, by: S1, job: j, "
        f"revision: {revision}, until: {until}}}\n",
        encoding="utf-8",
    )


def test_a_release_counts_from_the_moment_it_stands_in_the_file_and_to_the_end_of_its_day(
    shop: Shop,
) -> None:
    n1 = shop.person("N1")
    _release(shop, "2026-03-02")
    assert take_keys(shop, n1, ("rear-camera", 1), "", TODAY) is None
    assert take_keys(shop, n1, ("rear-camera", 1), "T2", TODAY) == "T2"
    assert why_not_alone(shop, n1, ("rear-camera", 1), TODAY) == ""
    with pytest.raises(StoreTrouble) as refused:
        take_keys(shop, n1, ("rear-camera", 1), "", date(2026, 3, 3))
    assert str(refused.value) == (
        "N1 is a trainee, and works beside a mentor. Name one. "
        "The release for rear-camera lapsed: its last day was 2026-03-02."
    )
    with pytest.raises(StoreTrouble, match="for revision 1, and this is revision 2"):
        take_keys(shop, n1, ("rear-camera", 2), "", TODAY)
    with pytest.raises(StoreTrouble, match="There is no release for lamp"):
        take_keys(shop, n1, ("lamp", 1), "", TODAY)
