"""The shop folder: made on first use, its settings and staff read with file and line."""

import os
from pathlib import Path

import pytest
from bay import load_small

from baycompanion.store.job.folder import list_jobs
from baycompanion.store.settings import figures_of
from baycompanion.store.shelf import find_procedure, list_procedures, read_procedure, shipped
from baycompanion.store.shop import WRONG_FOR_VEHICLE, Shop, open_shop
from baycompanion.store.shop_place import VARIABLE, where_is_shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile


def test_a_shop_is_made_on_first_use_and_found_as_it_was(tmp_path: Path) -> None:
    shop = open_shop(tmp_path / "deep" / "shop")
    assert sorted(path.name for path in shop.folder.iterdir()) == [
        "jobs",
        "procedures",
        "shop.yaml",
        "staff.yaml",
    ]
    assert {person.role for person in shop.staff.values()} == {"technician", "supervisor"}
    assert shop.reasons[0] == WRONG_FOR_VEHICLE
    assert list(list_jobs(shop.jobs)) == []
    assert open_shop(shop.folder) == shop


def test_what_a_shop_wrote_in_its_files_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "shop.yaml").write_text("name: Corner bay\nphotos: ~/pictures\n", encoding="utf-8")
    shop = open_shop(tmp_path)
    assert (shop.name, shop.reasons) == ("Corner bay", (WRONG_FOR_VEHICLE,))
    assert shop.watched == Path("~/pictures").expanduser()
    assert (tmp_path / "shop.yaml").read_text(encoding="utf-8").startswith("name: Corner bay")


def test_a_folder_of_pictures_lies_in_the_shop_wherever_the_program_is_begun(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "shop.yaml").write_text("photos: pictures\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path.parent)
    assert open_shop(tmp_path).watched == tmp_path / "pictures"


def test_the_reason_about_the_vehicle_is_always_there_and_first(tmp_path: Path) -> None:
    """R26."""
    (tmp_path / "shop.yaml").write_text(
        f"reasons: [part on order, {WRONG_FOR_VEHICLE}]\n", encoding="utf-8"
    )
    assert open_shop(tmp_path).reasons == (WRONG_FOR_VEHICLE, "part on order")


def test_a_reason_that_stands_twice_is_offered_once(tmp_path: Path) -> None:
    """Line by line, a reason typed out is the first that it fits, whatever its capitals."""
    (tmp_path / "shop.yaml").write_text(
        f"reasons: [part on order, Part on Order, {WRONG_FOR_VEHICLE.title()}, part on order]\n",
        encoding="utf-8",
    )
    assert open_shop(tmp_path).reasons == (WRONG_FOR_VEHICLE, "part on order")


def test_the_caps_of_a_shop_are_read_as_the_sum_takes_them(tmp_path: Path) -> None:
    assert figures_of(tmp_path / "none") == {}
    assert not (tmp_path / "none").exists()
    (tmp_path / "shop.yaml").write_text("caps:\n  - grey  1500 - 6500\n", encoding="utf-8")
    assert open_shop(tmp_path).caps == ("grey 1500-6500",)
    assert open_shop(tmp_path).figures == figures_of(tmp_path) == {"caps": "grey 1500-6500"}


def test_the_region_of_a_shop_goes_to_its_sums(tmp_path: Path) -> None:
    open_shop(tmp_path)
    assert figures_of(tmp_path) == {}
    (tmp_path / "shop.yaml").write_text("region: itu1\n", encoding="utf-8")
    assert figures_of(tmp_path) == {"region": "itu1"}


def test_the_caps_that_a_new_shop_shows_as_a_remark_are_good_ones(tmp_path: Path) -> None:
    open_shop(tmp_path)
    written = (tmp_path / "shop.yaml").read_text(encoding="utf-8")
    remark = written[written.index("# caps:") :].replace("# ", "")
    (tmp_path / "shop.yaml").write_text(remark, encoding="utf-8")
    assert figures_of(tmp_path) == {"caps": "small 700-3000, grey 1500-6500"}


BAD_FILES = [
    # the file, what stands in it, where the finding is, and what it says
    ("staff.yaml", "staff: []\n", "1:1", "This list is empty. Write at least one item."),
    ("staff.yaml", "people: []\n", "1:1", "“people” is not known here."),
    ("staff.yaml", "staff:\n  - id: T1\n", "2:5", "“role” is missing."),
    ("staff.yaml", "staff:\n  - {id: T1, role: boss}\n", "2:20", "“role” cannot be “boss”."),
    ("staff.yaml", "staff:\n  - {id: T 1, role: trainee}\n", "2:10", "“T 1” is no staff id."),
    ("staff.yaml", "staff:\n  - {id: Ä1, role: trainee}\n", "2:10", "“Ä1” is no staff id."),
    ("staff.yaml", f"staff:\n  - {{id: {'x' * 21}, role: trainee}}\n", "2:10", "is no staff id."),
    ("staff.yaml", "staff:\n  - {id: '', role: trainee}\n", "2:10", "“” is no staff id."),
    (
        "staff.yaml",
        "staff:\n  - {id: T1, role: trainee}\n  - {id: t1, role: trainee}\n",
        "3:10",
        "“t1” stands twice. Give each an own id.",
    ),
    (
        "staff.yaml",
        "staff:\n  - {id: t1, role: trainee}\n  - {id: T1, role: trainee}\n",
        "3:10",
        "“T1” stands twice.",
    ),
    ("staff.yaml", "", "1:1", "The file is empty."),
    ("staff.yaml", "staff: [\n", "2:1", "This is not YAML"),
    ("staff.yaml", "staff: !!python/name:os.system x\n", "1:8", "Tags are not read here"),
    ("shop.yaml", "nmae: x\n", "1:1", "“nmae” is not known here. Did you mean name?"),
    ("shop.yaml", "reasons: why not\n", "1:10", "“reasons” cannot be “why not”."),
    ("shop.yaml", "name: ''\n", "1:7", "Nothing is written here. Write what the shop is called."),
    (
        "shop.yaml",
        "photos:\n",
        "1:8",
        "Nothing is written here. Write the folder in which new pictures appear, or put # before",
    ),
    (
        "shop.yaml",
        "photos: ~nobody-of-that-name/pictures\n",
        "1:9",
        "There is no home folder for “~nobody-of-that-name/pictures”. Type the whole path.",
    ),
    ("shop.yaml", "name: a\nname: b\n", "2:1", "“name” stands twice, first in line 1."),
    ("shop.yaml", "- name\n", "1:1", "The file cannot be a list."),
    ("shop.yaml", "caps: grey 1500-6500\n", "1:7", "“caps” cannot be “grey 1500-6500”."),
    ("shop.yaml", "caps:\n  - grey 1500-6500\n  - blue\n", "3:5", "“blue” is no cap."),
    ("shop.yaml", "caps:\n  - grey 6500-1500\n", "2:5", "like grey 1500-6500."),
    ("shop.yaml", "caps: ['grey, light 1500-6500']\n", "1:8", "is no cap."),
    ("shop.yaml", "caps: [a 100-200, A 300-400]\n", "1:19", "“A” stands twice. Give each cap"),
    ("shop.yaml", f"caps: [{', '.join(f'c{n} 100-200' for n in range(21))}]\n", "1:1", "21 caps"),
]


@pytest.mark.parametrize(("name", "text", "where", "what"), BAD_FILES)
def test_a_mistake_in_a_file_of_the_shop_is_told_with_its_place(
    tmp_path: Path, name: str, text: str, where: str, what: str
) -> None:
    (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(BadFile) as bad:
        open_shop(tmp_path)
    said = str(bad.value)
    assert said.startswith(f"{tmp_path / name}:{where}: "), said
    assert what in said


def test_several_mistakes_are_told_at_once(tmp_path: Path) -> None:
    (tmp_path / "staff.yaml").write_text(
        "staff:\n  - {id: T 1, role: boss}\n  - {role: trainee}\n", encoding="utf-8"
    )
    with pytest.raises(BadFile) as bad:
        open_shop(tmp_path)
    assert len(bad.value.problems) == 3


def test_a_file_that_is_no_utf_8_is_told_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "staff.yaml").write_bytes(b"staff:\n  - {id: T1, role: trainee} # \xe4\n")
    with pytest.raises(StoreTrouble, match=r"staff.yaml:2: This is not UTF-8 text. Save the file"):
        open_shop(tmp_path)


def test_a_file_written_by_another_editor_is_read_all_the_same(tmp_path: Path) -> None:
    text = "staff:\r\n  - {id: T1, role: trainee}\r\n"
    (tmp_path / "staff.yaml").write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert list(open_shop(tmp_path).staff) == ["T1"]


def test_a_shop_that_cannot_be_made_says_how_to_choose_another(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"x")
    for folder in (tmp_path / "file", tmp_path / "file" / "shop", Path("a\x00b")):
        with pytest.raises(StoreTrouble) as trouble:
            open_shop(folder)
        assert "cannot be made: " in str(trouble.value)
        assert f"Choose another with --shop or {VARIABLE}." in str(trouble.value)


@pytest.mark.skipif(os.name == "nt", reason="links need a right of their own there")
def test_what_lies_where_the_shop_should_be_is_named(tmp_path: Path) -> None:
    """“File exists” would not say why a shop that exists is to be made."""
    (tmp_path / "file").write_bytes(b"x")
    (tmp_path / "link").symlink_to(tmp_path / "gone")
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "jobs").write_bytes(b"x")
    for name, what in (
        ("file", "file is a file"),
        ("link", "link is a link that leads nowhere"),
        ("shop", "jobs is a file"),
    ):
        with pytest.raises(StoreTrouble, match=f"cannot be made: .*{what}[.] Choose another"):
            open_shop(tmp_path / name)


def test_a_folder_in_place_of_a_file_is_named(tmp_path: Path) -> None:
    (tmp_path / "staff.yaml").mkdir()
    with pytest.raises(StoreTrouble, match=r"staff.yaml is no plain file\. "):
        open_shop(tmp_path)


@pytest.mark.parametrize("typed", ["T1", "t1", " T1 "])
def test_a_person_is_known_by_id_in_any_case(shop: Shop, typed: str) -> None:
    assert shop.person(typed).id == "T1"


@pytest.mark.parametrize("typed", ["", "T11", "nobody", "\x1b"])
def test_a_stranger_is_refused_with_those_who_are_known(shop: Shop, typed: str) -> None:
    """R48."""
    with pytest.raises(StoreTrouble, match="is not on the staff of this shop") as trouble:
        shop.person(typed)
    assert str(trouble.value).isprintable()


def test_the_shop_is_chosen_by_word_then_by_environment_then_by_the_system(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(VARIABLE, str(tmp_path / "by-environment"))
    assert where_is_shop(str(tmp_path / "by-word")) == tmp_path / "by-word"
    assert where_is_shop(None) == tmp_path / "by-environment"
    monkeypatch.setenv(VARIABLE, "~/bay")
    assert where_is_shop(None) == Path("~/bay").expanduser()
    monkeypatch.delenv(VARIABLE)
    assert where_is_shop(None).parts[-2:] == ("baycompanion", "shop")


def test_the_shops_own_procedure_comes_before_the_one_that_ships(shop: Shop) -> None:
    own = shop.procedures / "receiver-swap.yaml"
    assert find_procedure("receiver-swap", shop.procedures) == shipped("procedures") / own.name
    own.write_text(load_small().pinned_text, encoding="utf-8")
    assert find_procedure("receiver-swap", shop.procedures) == own
    assert list_procedures(shop.procedures)["receiver-swap"] == own


def test_a_procedure_that_is_not_there_offers_the_nearest(shop: Shop) -> None:
    with pytest.raises(StoreTrouble) as trouble:
        find_procedure("reciever-swap", shop.procedures)
    assert str(trouble.value) == (
        "There is no procedure “reciever-swap”. Did you mean receiver-swap?"
    )
    with pytest.raises(StoreTrouble, match=r"There is no file gone.yaml. Check the name."):
        read_procedure(find_procedure("gone.yaml", shop.procedures))


def test_a_procedure_of_the_shop_may_include_what_ships(shop: Shop) -> None:
    shared = next((shipped("procedures") / "shared").glob("*.yaml"))
    own = shop.procedures / "own.yaml"
    text = "procedure: own\ntitle: T\nrevision: 1\nfits: F?\nhazards: none\ntools: none\n"
    text += f"parts: none\nphases:\n  - include: shared/{shared.name}\n"
    own.write_text(text, encoding="utf-8")
    assert len(read_procedure(own).procedure.steps) > 0


@pytest.mark.skipif(os.name == "nt", reason="links need a right of their own there")
def test_an_include_never_leads_out_of_the_folders_even_by_a_link(
    shop: Shop, tmp_path: Path
) -> None:
    (tmp_path / "outside.yaml").write_text("shared: outside\n", encoding="utf-8")
    (shop.procedures / "link.yaml").symlink_to(tmp_path / "outside.yaml")
    own = shop.procedures / "own.yaml"
    own.write_text("procedure: own\nphases:\n  - include: link.yaml\n", encoding="utf-8")
    with pytest.raises(BadFile, match=r"There is no file “link.yaml” here"):
        read_procedure(own)


@pytest.mark.parametrize("number", [0, 1, 99])
def test_a_shop_says_when_guidance_fades(tmp_path: Path, number: int) -> None:
    (tmp_path / "shop.yaml").write_text(f"fade-after: {number}\n", encoding="utf-8")
    (tmp_path / "staff.yaml").write_text(
        "staff:\n  - {id: N1, role: trainee}\n  - {id: N2, role: trainee, fade-after: 7}\n",
        encoding="utf-8",
    )
    shop = open_shop(tmp_path)
    assert (shop.fade_after_for("N1"), shop.fade_after_for("n2")) == (number, 7)


@pytest.mark.parametrize("value", ["-1", "100", "often", "2.5", "", "[3]"])
@pytest.mark.parametrize("name", ["shop.yaml", "staff.yaml"])
def test_a_number_that_cannot_be_is_told_with_its_line(
    tmp_path: Path, name: str, value: str
) -> None:
    text = {
        "shop.yaml": f"name: Corner bay\nfade-after: {value}\n",
        "staff.yaml": f"staff:\n  - id: N1\n    role: trainee\n    fade-after: {value}\n",
    }[name]
    (tmp_path / name).write_text(text, encoding="utf-8")
    with pytest.raises(BadFile) as caught:
        open_shop(tmp_path)
    [problem] = caught.value.problems
    line = text[: text.index("fade-after")].count("\n") + 1
    assert str(problem).startswith(f"{tmp_path / name}:{line}:")
