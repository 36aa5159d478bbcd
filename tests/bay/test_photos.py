"""A photo to an entry: told by its bytes, without its place, in limits, beside the card, in the report, never deleted."""

import os
import subprocess
import sys
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageChops, ImageStat

from circuitmap.failures import Failure, LimitReached, WrongUse
from circuitmap.flows import photos as photos_module
from circuitmap.flows.job import open_job
from circuitmap.flows.page import job_report, shared_job
from circuitmap.flows.photos import photo_beside, photos_of
from circuitmap.jobs.photo import LARGEST_PHOTO, LONGEST_SIDE, MOST_PASSES, photo_name, photo_of
from circuitmap.web.guard import LARGEST_BODY, why_refused
from tests.bay.test_desk import add, opened, sent, shop

__all__ = ["shop"]

PLACE = b"GPS 57.4778 N 4.2247 W, phone of Quillaby"


def jpeg(width: int = 40, height: int = 30, **how: object) -> bytes:
    image = Image.new("RGB", (width, height), (200, 40, 40))
    image.putpixel((3, 4), (0, 255, 0))
    out = BytesIO()
    image.save(out, "JPEG", **how)  # type: ignore[arg-type]
    return out.getvalue()


def with_segment(content: bytes, marker: int, inside: bytes) -> bytes:
    return content[:2] + bytes([0xFF, marker]) + (len(inside) + 2).to_bytes(2) + inside + content[2:]


def filled_to(size: int) -> bytes:
    """A photo of exactly so many bytes: what does not belong to the picture is dropped, but counts when it is sent."""
    content = jpeg()
    while size - len(content) > 60_000:
        content = with_segment(content, 0xE5, b"x" * 50_000)
    return with_segment(content, 0xE5, b"x" * (size - len(content) - 4))


@pytest.mark.parametrize(
    "how", [{}, {"progressive": True}, {"quality": 20, "subsampling": 2}, {"restart_marker_rows": 1}]
)
def test_only_the_picture_is_kept(how: dict[str, object]) -> None:
    plain = jpeg(**how)
    exif = Image.Exif()
    exif[0x010F] = PLACE.decode()
    told = jpeg(exif=exif, comment=PLACE, **how)
    told = with_segment(told, 0xE1, b"http://ns.adobe.com/xap/1.0/\0<x>" + PLACE + b"</x>")
    told = with_segment(with_segment(told, 0xE1, PLACE), 0xFE, PLACE) + b"\xff\xd8 a second picture " + PLACE
    kept = photo_of(told)
    assert PLACE in told and b"GPS" not in kept.content and (kept.width, kept.height) == (40, 30)
    assert Image.open(BytesIO(kept.content)).info.keys() <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert most_apart(kept.content, plain) < 60, "a lone dot of another colour is the worst there is"


def most_apart(one: bytes, other: bytes) -> int:
    """By how much two pictures differ at most, of 255; what is drawn anew is drawn a little otherwise."""
    both = (Image.open(BytesIO(content)).convert("RGB") for content in (one, other))
    return max(most for _, most in ImageChops.difference(*both).getextrema())  # type: ignore[misc]


def mean_apart(one: bytes, other: bytes) -> float:
    """By how much two pictures differ on average, of 255: of a torn picture a lone dot may differ by any amount."""
    both = (Image.open(BytesIO(content)).convert("RGB") for content in (one, other))
    return max(ImageStat.Stat(ImageChops.difference(*both)).mean)


@pytest.mark.parametrize(("orientation", "turns"), [(1, 0), (6, 3), (3, 2), (8, 1)])
def test_it_stands_the_right_way_up(orientation: int, turns: int) -> None:
    """As EXIF counts orientations (memory): 6 is a phone that was held upright."""
    image = Image.new("RGB", (64, 32), (255, 255, 255))
    image.paste((200, 0, 0), (0, 0, 16, 16))
    exif, out = Image.Exif(), BytesIO()
    exif[0x0112] = orientation
    image.save(out, "JPEG", exif=exif)
    kept = photo_of(out.getvalue())
    upright = image.rotate(90 * turns, expand=True)
    assert (kept.width, kept.height) == upright.size
    there = Image.open(BytesIO(kept.content))
    red = max((x, y) for x in (8, kept.width - 8) for y in (8, kept.height - 8) if there.getpixel((x, y))[1] < 100)  # type: ignore[index, operator]
    assert upright.getpixel(red) == (200, 0, 0)


@pytest.mark.parametrize("mode", ["L", "CMYK"])
def test_any_jpeg_is_kept_as_every_browser_shows_it(mode: str) -> None:
    out = BytesIO()
    Image.new(mode, (16, 16)).save(out, "JPEG")
    assert Image.open(BytesIO(photo_of(out.getvalue()).content)).mode == "RGB"


def claims(content: bytes, width: int, height: int) -> bytes:
    """The same, but that it says it is so large."""
    at = content.index(b"\xff\xc0") + 5
    return content[:at] + height.to_bytes(2) + width.to_bytes(2) + content[at + 4 :]


@pytest.mark.parametrize("sides", [(65_500, 65_500), (65_500, 1), (1, 65_500), (LONGEST_SIDE + 1, 9)])
def test_few_bytes_that_say_they_are_a_large_picture_are_not_unpacked(sides: tuple[int, int]) -> None:
    with pytest.raises(LimitReached, match="pixels"):
        photo_of(claims(jpeg(), *sides))


@pytest.mark.parametrize(("more", "fits"), [(-1, True), (0, True), (1, False)])
def test_passes_have_a_limit(more: int, fits: bool) -> None:
    """A picture is gone over once more for each pass, and a pass can be a few bytes."""
    whole = jpeg(progressive=True)
    last = whole.rindex(b"\xff\xda")
    content = whole[:-2] + whole[last:-2] * (MOST_PASSES + more - whole.count(b"\xff\xda")) + whole[-2:]
    assert content.count(b"\xff\xda") == MOST_PASSES + more
    if fits:
        assert photo_of(content).width == 40
    else:
        with pytest.raises(LimitReached, match="passes"):
            photo_of(content)


def test_what_gets_larger_by_being_drawn_anew_still_fits() -> None:
    out = BytesIO()
    Image.effect_noise((2200, 1600), 120).convert("RGB").save(out, "JPEG", quality=50)
    assert len(out.getvalue()) <= LARGEST_PHOTO
    assert len(photo_of(out.getvalue()).content) <= LARGEST_PHOTO


def test_who_sends_no_photo_loads_no_library_for_them() -> None:
    asked = "import sys, circuitmap.web.serving; print('PIL' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True).stdout == "False\n"


@pytest.mark.parametrize(
    "content", [b"", b"\xff\xd8", b"\x89PNG\r\n\x1a\n", b"GIF89a", b"<svg onload=alert(1)>", b"\xff\xd8\xff\xd9", b"\xff\xd8\xff\xff\xff"]
)  # fmt: skip
def test_what_is_no_jpeg_is_refused(content: bytes) -> None:
    with pytest.raises(WrongUse):
        photo_of(content)


@given(st.binary(max_size=300), st.integers(0, 700), st.integers(0, 30))
@settings(max_examples=300)
def test_whatever_is_sent_is_a_photo_or_refused(noise: bytes, at: int, out: int) -> None:
    whole = jpeg()
    for content in (noise, b"\xff\xd8" + noise, whole[:at] + noise + whole[at + out :], whole[:at]):
        try:
            kept = photo_of(content).content
        except Failure:
            continue
        assert kept[:2] == b"\xff\xd8" and kept[-2:] == b"\xff\xd9" and mean_apart(photo_of(kept).content, kept) < 20


@pytest.mark.parametrize(("more", "fits"), [(-1, True), (0, True), (1, False)])
def test_a_photo_has_a_limit(more: int, fits: bool) -> None:
    content = filled_to(LARGEST_PHOTO + more)
    assert len(content) == LARGEST_PHOTO + more
    head = [(b"host", b"localhost"), (b"origin", b"http://localhost"), (b"content-type", b"image/jpeg")]
    sent_so = why_refused("POST", b"/jobs/a/photos/b", [*head, (b"content-length", b"%d" % len(content))], ())
    assert (sent_so is None) is fits
    if fits:
        assert len(photo_of(content).content) < 2000
    else:
        with pytest.raises(LimitReached, match="2,000,000"):
            photo_of(content)


@pytest.mark.parametrize(("side", "fits"), [(LONGEST_SIDE - 1, True), (LONGEST_SIDE, True), (LONGEST_SIDE + 1, False)])
def test_a_side_has_a_limit(side: int, fits: bool) -> None:
    for content in (jpeg(side, 8), jpeg(8, side)):
        if fits:
            assert max(photo_of(content)[1:]) == side
        else:
            with pytest.raises(LimitReached, match="pixels"):
                photo_of(content)


@pytest.mark.parametrize(
    ("path", "kind", "length", "status"),
    [
        (b"/jobs/a/photos/b", b"application/json", 10, 415),
        (b"/jobs/a/photos/b", b"text/html", 10, 415),
        (b"/jobs/a/entries", b"image/jpeg", 10, 415),
        (b"/jobs/a/photos/b/c", b"image/jpeg", 10, 415),
        (b"/photos/a/photos/b", b"image/jpeg", 10, 415),
        (b"/jobs/a/entries", b"application/json", LARGEST_BODY + 1, 413),
    ],
)
def test_only_the_address_of_a_photo_takes_one(path: bytes, kind: bytes, length: int, status: int) -> None:
    head = [(b"host", b"localhost"), (b"origin", b"http://localhost"), (b"content-type", kind)]
    refusal = why_refused("POST", path, [*head, (b"content-length", b"%d" % length)], ())
    assert refusal is not None and refusal.status == status


def test_a_photo_is_written_before_its_entry_and_once(shop: Path) -> None:
    desk, key = opened(shop)
    its = sent(1, "remark rubbed through at the hinge")._replace(photo=True)
    assert add(desk, key, "Ida", its) == ["refused"], "its photo is not there yet"
    for _ in range(2):
        desk.keep_photo(key, its.id, with_segment(jpeg(), 0xE1, PLACE))
        assert add(desk, key, "Ida", its) in (["kept"], ["known"])
    with pytest.raises(WrongUse, match="Another photo"):
        desk.keep_photo(key, its.id, jpeg(50, 50))
    assert sorted(path.name for path in shop.glob("*.jpg")) == [photo_name(its.id)]
    assert PLACE not in (shop / photo_name(its.id)).read_bytes() and most_apart(desk.photo(key, its.id), jpeg()) < 60
    [entry] = [entry for entry in desk.answer(key)["entries"] if entry["id"] == its.id]
    assert entry["photo"] and "rubbed through at the hinge" in entry["says"]


def test_a_photo_needs_no_words(shop: Path) -> None:
    desk, key = opened(shop)
    its = sent(1, "")._replace(photo=True)
    desk.keep_photo(key, its.id, jpeg())
    assert add(desk, key, "Ida", its) == ["kept"]
    assert add(desk, key, "Ida", sent(2, "")) == ["refused"]


@pytest.mark.parametrize("name", ["../other.jpg", "/etc/hostname", "a/b.jpg", "..", ".", ".hidden.jpg", "a\\b.jpg", ""])
def test_a_photo_lies_beside_its_card_or_is_not_shown(shop: Path, name: str) -> None:
    (shop.parent / "other.jpg").write_bytes(jpeg())
    (shop / ".hidden.jpg").write_bytes(jpeg())
    with pytest.raises(Failure):
        photo_beside(shop / "job.yaml", name)


def test_a_link_in_its_place_is_not_followed(shop: Path) -> None:
    (shop.parent / "secret.jpg").write_bytes(jpeg())
    (shop / "photo.jpg").symlink_to(shop.parent / "secret.jpg")
    with pytest.raises(Failure):
        photo_beside(shop / "job.yaml", "photo.jpg")


@pytest.mark.parametrize("kind", ["a pipe", "a folder", "a large file", "a page"])
def test_what_stands_in_its_place_costs_no_report(shop: Path, kind: str) -> None:
    place = shop / "photo.jpg"
    if kind == "a pipe":
        os.mkfifo(place)
    elif kind == "a folder":
        place.mkdir()
    else:
        place.write_bytes(b"<html>" if kind == "a page" else jpeg() + bytes(LARGEST_PHOTO))
    with open(shop / "job.yaml", "a") as card:
        card.write("  - {at: '2026-02-03 09:10', photo: photo.jpg}\n")
    job = open_job(shop / "job.yaml")
    [photo] = photos_of(shop / "job.yaml", job.card)
    assert photo.content == b"" and photo.why.startswith("The photo is not shown: ")
    assert b"The photo is not shown" in job_report(job, "html", (photo,)) and job_report(job, "pdf", (photo,))


@pytest.mark.parametrize("its_id", ["../../x", "short", "UPPERCASE12345", "a" * 41])
def test_an_id_is_no_path(shop: Path, its_id: str) -> None:
    desk, key = opened(shop)
    with pytest.raises(WrongUse, match="id"):
        desk.keep_photo(key, its_id, jpeg())
    assert not list(shop.glob("*.jpg"))


def test_the_report_holds_the_photos_of_what_counts(shop: Path) -> None:
    desk, key = opened(shop)
    for number, line in enumerate(("remark chafed here", "remark struck later", "remark lost"), 1):
        desk.keep_photo(key, sent(number, "").id, jpeg(20 + number, 20))
        add(desk, key, "Ida", sent(number, line, 60 - number)._replace(photo=True))
    desk.strike(key, "wrong", its_id=sent(2, "").id)
    (shop / photo_name(sent(3, "").id)).unlink()
    page = desk.report(key).decode()
    assert page.count("data:image/jpeg;base64,") == 1 and "The photo is not shown: The file is not there." in page
    assert "img-src data:" in page and "Quillaby" not in page
    job = open_job(shop / "job.yaml")
    photos = tuple(photos_of(shop / "job.yaml", job.card))
    assert [bool(photo.content) for photo in photos] == [True, False]
    assert b"/DCTDecode" in job_report(job, "pdf", photos)
    shared = shared_job(job).page.decode()
    assert "data:image/jpeg" not in shared, "what a photo shows cannot be asked word by word"


def test_a_card_without_photos_is_the_page_it_was(shop: Path) -> None:
    assert "img-src" not in job_report(open_job(shop / "job.yaml"), "html").decode()


def test_a_photo_that_cannot_be_decoded_costs_no_report(shop: Path) -> None:
    content = bytearray(jpeg())
    content[-40:-2] = bytes(38)
    (shop / "heater.jpg").write_bytes(content)
    with open(shop / "job.yaml", "a") as card:
        card.write("  - {at: '2026-02-03 09:10', photo: heater.jpg}\n")
    job = open_job(shop / "job.yaml")
    assert job_report(job, "pdf", tuple(photos_of(shop / "job.yaml", job.card)))


@pytest.mark.parametrize(("there_are", "shown"), [(1, 1), (2, 2), (3, 2)])
def test_a_report_shows_so_many_photos(shop: Path, monkeypatch: pytest.MonkeyPatch, there_are: int, shown: int) -> None:
    monkeypatch.setattr(photos_module, "MOST_IN_A_REPORT", 2)
    (shop / "a.jpg").write_bytes(jpeg())
    with open(shop / "job.yaml", "a") as card:
        card.writelines(f"  - {{at: '2026-02-03 09:1{number}', photo: a.jpg}}\n" for number in range(there_are))
    page = job_report(
        open_job(shop / "job.yaml"), "html", tuple(photos_of(shop / "job.yaml", open_job(shop / "job.yaml").card))
    )
    assert page.count(b"data:image/jpeg") == shown and (b"2 are the most" in page) is (there_are > 2)
