"""Species on pages: determined by what is seen, compared, kept on a fish, changed by the manager."""

import pytest

from registry.models import Determination, FishDetails, JournalEntry, SpeciesFigure
from registry.operations.identity.characters import load_characters
from registry.operations.people import installer
from tests.support.river import small_river

pytestmark = pytest.mark.django_db
STERLET = {
    "lateral_scutes_left": "64", "lateral_scutes_right": "65", "fin_seams": "white", "scute_colour": "lighter",
    "barbel_form": "fringed",
}  # fmt: skip


@pytest.fixture
def river():
    river = small_river()
    load_characters(installer("test"))
    return river


def words(answer) -> str:
    return " ".join(answer.content.decode().split())


def test_what_is_seen_names_the_species_and_says_why_and_writes_nothing(client_of, river):
    client, before = client_of("viewer"), JournalEntry.objects.count()

    shown = words(client.get("/species/determine/", STERLET))

    assert 'Best: <a href="/species/ruthenus/"><i>Acipenser ruthenus</i></a> (Sterlet).' in shown
    assert "fin seams: seen a white seam; expected no white seam" in shown
    assert "lateral scutes: seen 64 and 65; expected 32–62" in shown
    assert "a genetic test decides" in shown
    assert "Look at this next" in shown
    assert "Keep this" not in shown  # a viewer enters nothing
    assert JournalEntry.objects.count() == before


def test_characters_that_do_not_separate_say_so_and_lead_to_the_comparison(client_of, river):
    shown = words(client_of("staff").get("/species/determine/", {"barbel_place": "nearer_tip", "snout_percent": "30"}))
    assert "Not separable by these characters" in shown


def test_flags_stand_before_the_table(client_of, river):
    asked = {"nostrils": "one", "lateral_scutes_left": "60", "total_length_mm": "9 m", "signs": ["fins", "fat"]}
    shown = words(client_of("staff").get("/species/determine/", asked))
    assert "A single nostril opening on a side; fins worn, short or eroded; body too fat." in shown
    assert "9000 mm is more than the longest" in shown
    assert shown.index("Perhaps from aquaculture") < shown.index("What speaks against it")


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"lateral_scutes_left": "-4"}, "“-4” is below zero."),
        ({"lateral_scutes_left": "400"}, "less than or equal to 150"),
        ({"snout_percent": "long"}, "“long” is not a number."),
        ({"total_length_mm": "abc"}, "“abc” cannot be read as one number."),
        ({"mouth": "wide"}, "wide is not one of the available choices."),
    ],
)
def test_what_cannot_be_read_is_said_at_its_field_and_the_rest_is_kept(client_of, river, asked, sentence):
    answer = client_of("staff").get("/species/determine/", {"dorsal_scutes": "14", **asked})
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert 'name="dorsal_scutes" value="14"' in words(answer)


def test_a_determination_is_kept_shown_on_the_fish_and_taken_over(client_of, river):
    staff, manager = client_of("staff"), client_of("manager")
    siberian = {"lateral_scutes_left": "44", "fin_seams": "none", "raker_form": "fan", "fish": "F2"}
    asked = staff.get("/species/determine/", siberian)
    assert "Keep this with fish F2" in words(asked)
    form = staff.get(asked.context["keep"]).context["form"]
    assert form["fish"].value() == "F2"
    assert form["raker_form"].as_hidden().count('value="fan"') == 1

    typed = siberian | {"determined_on": "2012-06-01", "species": "baerii", "confidence": "field"}
    warned = staff.post("/enter/determination/", typed)
    assert warned.status_code == 422
    seen = [one.message for one in warned.context["warnings"]]
    kept = staff.post("/enter/determination/", typed | {"confirm_warnings": "yes", "warning_seen": seen})
    row = Determination.objects.get()
    assert kept.url == f"/determinations/{row.pk}/"

    fish = words(staff.get("/fish/F2/"))
    assert "The last determination says otherwise than the record:" in fish
    assert staff.get(f"/correct/species-of-fish/{row.pk}/").status_code == 403
    asked_why = manager.get(f"/correct/species-of-fish/{row.pk}/")
    assert "It leaves Lower Isendre, which is of another species." in words(asked_why)
    taken = manager.post(f"/correct/species-of-fish/{row.pk}/", {"reason": asked_why.context["form"]["reason"].value()})
    assert taken.url == "/fish/F2/"
    assert FishDetails.objects.current().get(fish__number="F2").species.key == "baerii"
    assert "says otherwise" not in words(staff.get("/fish/F2/"))


def test_a_determination_is_taken_back_once(client_of, river):
    staff, manager = client_of("staff"), client_of("manager")
    staff.post("/enter/determination/", {
        "fish": "F2", "determined_on": "2012-06-01", "confidence": "field", "mouth": "small",
    })  # fmt: skip
    row = Determination.objects.get()
    assert manager.post(f"/correct/determination/{row.pk}/", {"reason": "Another fish."}).status_code == 302
    assert "Taken back by manager" in words(staff.get(f"/determinations/{row.pk}/"))
    assert "Another fish." in words(staff.get(f"/determinations/{row.pk}/"))
    assert manager.get(f"/correct/determination/{row.pk}/").status_code == 404


def test_look_alikes_stand_side_by_side_where_they_differ(client_of, river):
    client = client_of("viewer")
    answer = client.get("/species/compare/", {"one": "ruthenus", "two": "baerii"})
    names = [row["name"] for row in answer.context["rows"]]
    assert names[:3] == ["Barbels, form", "Lateral scutes, colour", "Fin seams"]
    assert "Lower lip" not in names
    shown = words(answer)
    assert shown.count("<svg") > 6
    assert "a white seam" in shown
    assert "Choose another species than the first." in words(
        client.get("/species/compare/", {"one": "baerii", "two": "baerii"})
    )


def test_ids_of_drawings_are_used_once_on_a_page(client_of, river):
    client = client_of("manager")
    pages = ("/species/determine/?fin_seams=white", "/species/compare/?one=huso&two=baerii", "/species/huso/")
    for page in pages:
        found = client.get(page).content.decode().split(' id="')[1:]
        ids = [one.partition('"')[0] for one in found]
        assert sorted(set(ids)) == sorted(ids), page


def test_a_changed_figure_leaves_the_earlier_with_who_and_why(client_of, river):
    manager = client_of("manager")
    target = "/correct/species/ruthenus/figure/lateral_scutes/"
    held = manager.get(target).context["form"].initial
    assert (held["low"], held["high"]) == (56, 71)
    typed = {"low": "55", "high": "71", "scored": "on", "source": "own counts", "reason": "Counted 200 fish."}

    assert manager.post(target, typed).url == "/species/ruthenus/"
    shown = words(client_of("viewer").get("/species/ruthenus/"))
    before = shown[shown.index("What stood here before") :]
    assert "55–71" in shown
    assert "56–71" in before
    assert "manager," in before
    assert "Counted 200 fish." in before
    assert manager.post(target, typed | {"low": "90"}).status_code == 422
    assert SpeciesFigure.objects.current().get(species__key="ruthenus", figure="lateral_scutes").low == 55


def test_everybody_reads_and_only_the_manager_changes(client_of, river):
    viewer = client_of("viewer")
    for page in ("/species/", "/species/huso/", "/species/compare/", "/species/determine/", "/determinations/"):
        assert viewer.get(page).status_code == 200
    for page in (
        "/enter/determination/", "/enter/species-name/", "/enter/river-standing/",
        "/correct/species/huso/figure/dorsal_scutes/", "/correct/species/huso/look/mouth/",
    ):  # fmt: skip
        assert viewer.get(page).status_code == 403
    for page in ("/species/dragon/", "/determinations/99/"):
        assert viewer.get(page).status_code == 404
    manager = client_of("manager")
    for page in ("/correct/species/huso/figure/shoe/", "/correct/species/huso/look/dorsal_scutes/"):
        assert manager.get(page).status_code == 404
