"""The main job on real input: the receiver procedure walked key by key on its screen."""

import asyncio
import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from bay import keys_in
from walker import Clock, Walker, picture

from baycompanion.job.carried import Vehicle
from baycompanion.screens.app import BayApp
from baycompanion.store.job_folder import make_job
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.store.shop import Shop, open_shop

START = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return open_shop(tmp_path / "shop")


def job_of(shop: Shop, procedure: str) -> Path:
    loaded = read_procedure(find_procedure(procedure, shop.procedures))
    vehicle = Vehicle(description="grey five-door estate")
    return make_job(shop.jobs, loaded, keys_in("WO-1042", vehicle, shop.person("T1"), START))


async def walk_whole(shop: Shop, folder: Path, no: frozenset[str], size: tuple[int, int]) -> Walker:
    clock = Clock(START)
    app = BayApp(shop, folder, shop.person("T1"), clock)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        walker = Walker(pilot, clock, picture(shop.folder), no)
        await walker.walk_to("close")
        await walker.close()
        assert walker.card.kind == "ended"
        await pilot.press("ctrl+q")
    return walker


@pytest.mark.parametrize(
    ("procedure", "no", "size"),
    [
        ("receiver-swap", frozenset(), (80, 24)),
        ("dash-camera-hardwire", frozenset(), (120, 36)),
        ("key-off-draw-hunt", frozenset(), (120, 36)),
    ],
)
def test_a_whole_job_is_walked_from_keys_in_to_keys_back(
    shop: Shop, procedure: str, no: frozenset[str], size: tuple[int, int]
) -> None:
    folder = job_of(shop, procedure)
    asyncio.run(walk_whole(shop, folder, no, size))
    record = json.loads((folder / "record.json").read_text(encoding="utf-8"))
    assert record["status"] == "closed"
    assert record["clean"] is True
    assert record["overrides"] == []
    assert all(gate["came_to"] != "held" for gate in record["gates"])
