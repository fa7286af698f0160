"""Who may take the keys: released for the procedure, and beside a mentor while they learn."""

from pathlib import Path

import pytest

from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.taking import take_keys
from baycompanion.store.trouble import StoreTrouble


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
    assert take_keys(shop, shop.person("T1"), "door-speakers", "") is None
    assert take_keys(shop, shop.person("T2"), "rear-camera", "") is None
    with pytest.raises(StoreTrouble) as refused:
        take_keys(shop, shop.person("T1"), "rear-camera", "")
    assert str(refused.value) == (
        "T1 is not released for rear-camera. "
        "A supervisor can do that: baycompanion staff release T1 rear-camera"
    )


def test_a_trainee_learns_any_procedure_beside_a_mentor_and_none_alone(shop: Shop) -> None:
    assert take_keys(shop, shop.person("N1"), "rear-camera", "t2") == "T2"
    with pytest.raises(StoreTrouble, match="works beside a mentor"):
        take_keys(shop, shop.person("N1"), "rear-camera", "")
