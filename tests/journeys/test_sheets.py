"""Staff take in a sheet of the hatchery: file, columns, every row, taken in."""

from pathlib import Path

from openpyxl import load_workbook
from playwright.sync_api import expect

from tests.journeys.every_page import faults_of
from tests.journeys.hands import fish_on_list, follow, press, tab_to

SHEET = """Fish;Species;Stock;Sex;Origin;Caught
J-01;Acipenser ruthenus;Lower Isendre;F;wild;2019-05-03
J-02;Acipenser ruthenus;Lower Isendre;m;wild;2019-05-04
J-03;Acipenser ruthenus;Lower Isendre;F;wild;2019-15-33
"""


def test_staff_take_in_the_good_rows_of_a_sheet_and_get_the_bad_one_back(sign_in, tmp_path: Path):
    file = tmp_path / "intake.csv"
    file.write_text(SHEET, encoding="utf-8")
    page = sign_in("staff")
    main = page.get_by_role("main")

    follow(page, "Sheets")
    page.get_by_label("File").set_input_files(file)
    tab_to(page.get_by_role("radio").first)
    page.keyboard.press("Space")
    press(main.get_by_role("button", name="Look at it"))
    expect(main).to_contain_text("What each column is")
    assert faults_of(page) == []

    press(main.get_by_role("button", name="See every row"))
    expect(main).to_contain_text("2 rows would be added")
    expect(main.locator("tr").filter(has_text="J-03")).to_contain_text("2019-15-33")
    assert faults_of(page) == []

    press(main.get_by_role("button", name="Take the 2 good rows and give me the others as a file"))
    expect(main).to_contain_text("2 rows of")
    assert faults_of(page) == []
    with page.expect_download() as mended:
        press(main.get_by_role("link", name="The refused rows, with the reasons"))
    mended.value.save_as(tmp_path / "to-mend.xlsx")
    bad = load_workbook(tmp_path / "to-mend.xlsx").active
    assert bad is not None
    assert "J-03" in {cell for row in bad.iter_rows(values_only=True) for cell in row}
    assert {row["Fish"] for row in fish_on_list(page, number="J-0")} == {"J-01", "J-02"}
