"""The picture says what the sheet holds, in every look, and nothing that a name smuggles in."""

import re
import xml.etree.ElementTree as ElementTree

import msgspec
import pytest

from wainscot.picture import tokens
from wainscot.picture.draw import SHOWN, draw
from wainscot.picture.sheet import (
    EntryShape,
    GapShape,
    Line,
    Panel,
    RibbonShape,
    Ring,
    RoomShape,
    Sheet,
    SignShape,
    VoidShape,
)
from wainscot.picture.svg import text_width

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = "</text><script>alert('1')</script>\"&<b onload='x'>\x00\x1b[31m"


def square(west: float, south: float, size: float = 1.5) -> Ring:
    return ((west, south), (west + size, south), (west + size, south + size), (west, south + size))


def sheet(*voids: VoidShape, name: str = "Kitchen", **more: object) -> Sheet:
    panel = Panel(
        title=name, subtitle="rooms", column=0, row=0,
        rooms=(RoomShape(name, square(0, 0, 6)),), voids=voids,
        entries=(EntryShape("E1", name, (0.0, 3.0), (1.0, 0.0), 0.7),),
        signs=(SignShape("D", "found", "droppings", name, (2.0, 2.0)),
               SignShape("", "nothing", "", name, (4.0, 4.0)),
               SignShape("S", "found", "sound", name, (3.0, 5.0), radius=1.0)),
        ribbons=(RibbonShape("A", 0.6, ((0.0, 3.0), (3.0, 3.0)), 1, True),),
    )  # fmt: skip
    made = Sheet(
        title=name, shows="soiled", date="12 May 2026", calculated=True, panels=(panel,),
        verdict=name, ways_in=(Line("E1", "70", name),), runs=(Line("A", "6 in 10", name),),
    )  # fmt: skip
    return msgspec.structs.replace(made, **more)


def void(chance: float, x: float = 0.0, **more: object) -> VoidShape:
    made = VoidShape("v", "W7", "stud bay", "g", square(x, 0), "chance", chance)
    return msgspec.structs.replace(made, **more)


def texts(svg: str) -> str:
    return " ".join(" ".join(each.itertext()) for each in ElementTree.fromstring(svg).iter())


def test_hostile_names_stay_text() -> None:
    svg = draw(sheet(void(0.8, words=HOSTILE, label=HOSTILE), name=HOSTILE))
    root = ElementTree.fromstring(svg)
    allowed = {"svg", "title", "desc", "defs", "pattern", "rect", "circle", "path", "g", "text",
               "tspan", "clipPath", "view"}  # fmt: skip
    assert {each.tag.removeprefix(SVG) for each in root.iter()} <= allowed
    assert not any(name.startswith("on") for each in root.iter() for name in each.attrib)
    assert "\x1b" not in svg
    assert "alert('1')" in texts(svg)


def test_nothing_is_loaded_from_outside() -> None:
    svg = draw(sheet(void(0.5)))
    links = set(re.findall(r"https?://[^\"' ]+", svg))
    assert links == {"http://www.w3.org/2000/svg"}
    assert "href" not in svg
    assert "@import" not in svg


@pytest.mark.parametrize("theme", ["day", "night"])
@pytest.mark.parametrize(("chance", "index"), [(0.05, 0), (0.2, 1), (0.5, 2), (0.8, 3), (0.95, 4)])
def test_a_chance_has_the_fill_and_hatch_of_its_class(
    theme: tokens.ThemeName, chance: float, index: int
) -> None:
    plain = draw(sheet(), theme)
    drawn = draw(sheet(void(chance)), theme)
    colour = tokens.THEMES[theme].fills[index]
    # One swatch of the key comes with the void, and the void itself.
    assert drawn.count(colour) >= plain.count(colour) + 2
    hatched = tokens.HATCH_SPACING[index] is not None
    assert (drawn.count(f"url(#hatch{index})") >= 2) == hatched


def test_what_is_not_a_chance_has_no_class_fill() -> None:
    unknown = draw(sheet(void(0.5, state="not calculated")))
    doubtful = draw(sheet(void(0.5, state="can't tell yet")))
    # The wedge of the way in (70) and its sample in the key are the only fills.
    for svg in (unknown, doubtful):
        drawn = [each.get("fill") for each in ElementTree.fromstring(svg).iter(f"{SVG}path")]
        assert tokens.DAY.fills[0] not in drawn
        assert tokens.DAY.fills[4] not in drawn
    assert "url(#rings)" in doubtful
    assert "url(#rings)" not in unknown
    assert "?" in texts(doubtful)
    assert "not calculated" in texts(unknown)


def test_the_number_stands_on_a_plate_of_its_own() -> None:
    root = ElementTree.fromstring(draw(sheet(void(0.83))))
    group = next(each for each in root.iter(f"{SVG}text") if (each.text or "") == "85")
    before = list(root.iter())[list(root.iter()).index(group) - 1]
    assert before.tag == f"{SVG}rect"
    assert before.get("fill") == tokens.DAY.tray


def test_narrow_voids_share_one_plate_with_the_greatest_and_how_many() -> None:
    bays = [
        void(chance, label=f"W{i}", ring=((0.1 * i, 0.0), (0.1 * i + 0.1, 0.0),
                                         (0.1 * i + 0.1, 0.4), (0.1 * i, 0.4)))
        for i, chance in enumerate((0.85, 0.7, 0.75, 0.2, 0.01))
    ]  # fmt: skip
    svg = draw(sheet(*bays))
    plates = [each.text for each in ElementTree.fromstring(svg).iter(f"{SVG}text")]
    assert "85 - 3 likely" in re.sub(r"\s+", " ", texts(svg))
    assert "75" not in plates


def test_many_alike_share_one_plate_a_class_though_each_had_room_for_its_own() -> None:
    bays = [
        void(chance, label=f"F{i}", ring=((0.0, float(i)), (6.0, float(i)), (6.0, i + 0.9),
                                         (0.0, i + 0.9)))
        for i, chance in enumerate((0.25, 0.2, 0.2, 0.15, 0.15, 0.5))
    ]  # fmt: skip
    said = re.sub(r"\s+", " ", texts(draw(sheet(*bays))))
    assert "25 - 5 unlikely" in said
    assert "50 F5" in said
    assert "15 F3" not in said
    few = re.sub(r"\s+", " ", texts(draw(sheet(*bays[:4]))))
    assert "15 F3" in few


@pytest.mark.parametrize(("kind", "fill"), [("door", tokens.DAY.paper), ("window", "none")])
def test_an_opening_lies_over_the_cavity_of_its_wall(kind: str, fill: str) -> None:
    wall = ((0.0, 0.0), (6.0, 0.0), (6.0, 0.3), (0.0, 0.3))
    hole = ((2.0, 0.0), (3.0, 0.0), (3.0, 0.3), (2.0, 0.3))
    made = sheet(void(0.5, ring=wall))
    panel = msgspec.structs.replace(made.panels[0], gaps=(GapShape(kind, hole),))
    root = ElementTree.fromstring(draw(msgspec.structs.replace(made, panels=(panel,))))
    drawn = [(each.get("d"), each.get("fill")) for each in root.iter(f"{SVG}path")]
    plain = {each.get("d") for each in ElementTree.fromstring(draw(made)).iter(f"{SVG}path")}
    opening = next(i for i, (d, _) in enumerate(drawn) if d not in plain)
    cavity = next(i for i, (_, colour) in enumerate(drawn) if colour == tokens.DAY.fills[2])
    assert cavity < opening
    assert drawn[opening][1] == fill


def test_each_panel_has_a_view_that_holds_its_plates() -> None:
    root = ElementTree.fromstring(draw(sheet(void(0.5))))
    view = root.find(f".//{SVG}view")
    assert view is not None
    left, top, wide, high = map(float, view.get("viewBox", "").split())
    plates = [each for each in root.iter(f"{SVG}rect") if each.get("fill") == tokens.DAY.tray]
    # The key has samples of plates below the panels.
    held = [each for each in plates
            if left <= float(each.get("x", "")) <= left + wide
            and top <= float(each.get("y", "")) <= top + high]  # fmt: skip
    assert len(held) >= 3
    # On a screen 390 points wide, text of 16 px is then still over 9 points high.
    assert tokens.TEXT * 390 / wide > 9


def test_the_next_check_stands_before_the_voids() -> None:
    said = texts(draw(sheet(void(0.5), next=(Line("1", "", "Take the kick board off"),),
                            first=(Line("W7", "50", "open: stud bay"),))))  # fmt: skip
    assert said.index("Next check") < said.index("Take the kick board off")
    assert said.index("Take the kick board off") < said.index("Soiled, likeliest first")


def test_a_void_hardly_possible_has_no_plate() -> None:
    root = ElementTree.fromstring(draw(sheet(void(0.04))))
    assert not [each for each in root.iter(f"{SVG}text") if (each.text or "") in ("5", "<5")]


def test_seen_is_said_in_words_not_as_a_number() -> None:
    said = texts(draw(sheet(void(0.99, seen="heavy"))))
    assert "seen heavy" in re.sub(r"\s+", " ", said)
    assert ">95 W7" not in re.sub(r"\s+", " ", said)


def test_at_most_three_runs_in_three_widths() -> None:
    assert tokens.MOST_RIBBONS == 3
    assert list(tokens.RIBBON_WIDTHS) == sorted(set(tokens.RIBBON_WIDTHS))
    assert len(tokens.RIBBON_WIDTHS) == len(tokens.RIBBON_SHARES) + 1


@pytest.mark.parametrize("shows", ["soiled", "in-use", "nest", "entries"])
def test_the_title_says_whether_it_speaks_of_then_or_now(shows: str) -> None:
    said = texts(draw(sheet(void(0.5), shows=shows)))
    assert SHOWN[shows][0] in said
    assert re.search(r"\bnow\b", SHOWN[shows][0] + SHOWN[shows][1])
    assert "12 May 2026" in said


def test_the_same_sheet_gives_the_same_text() -> None:
    assert draw(sheet(void(0.5))) == draw(sheet(void(0.5)))


def test_units_choose_the_scale_bar() -> None:
    assert "2 m" in texts(draw(sheet(units="m")))
    assert "6 ft" in texts(draw(sheet(units="ft-in")))


def test_an_empty_sheet_can_be_drawn() -> None:
    empty = Sheet(title="t", shows="soiled", date="", calculated=False, panels=())
    assert "Not calculated" in texts(draw(empty))


def test_a_long_name_of_job_or_storey_stays_on_the_sheet() -> None:
    long = "Mill Cottage behind the church, " * 6
    drawn = draw(msgspec.structs.replace(sheet(name=long), title=long))
    root = ElementTree.fromstring(drawn)
    wide = float(root.attrib["width"])
    sizes = {str(tokens.TITLE): [], str(tokens.HEAD): []}
    for one in root.iter(f"{SVG}text"):
        if one.attrib.get("font-size") in sizes:
            sizes[one.attrib["font-size"]].append((float(one.attrib["x"]), one.text or ""))
    titles, heads = sizes.values()
    assert " ".join(text for _, text in titles) == long.strip()
    assert heads[0][1].endswith("\u2026")
    for size, lines in ((tokens.TITLE, titles), (tokens.HEAD, heads)):
        assert all(x + text_width(text, size, strong=True) <= wide for x, text in lines)
