"""What may come in as a photo, and that nothing but its pixels comes out."""

import io
import struct
import warnings
import zipfile
import zlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ExifTags, Image, ImageCms, ImageFile, PngImagePlugin

from configurator.domain.photos import LARGE_SIDE_PX, LARGEST_FILE_BYTES, SMALL_SIDE_PX, CheckedPhoto
from configurator.errors import InvalidInput
from configurator.services.pictures.image_checking import MOST_PIXELS, READS_HEIC, check_photo

PICTURES = Path(__file__).parent
SVG = b'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
GPS_IFD, DATE_TAKEN, ORIENTATION, SOFTWARE, MAKE = 0x8825, 0x9003, 0x0112, 0x0131, 0x010F
"""Tags of Exif 3.0 (CIPA DC-008)."""


def picture(width: int = 64, height: int = 48, mode: str = "RGB") -> Image.Image:
    """Left half red, right half blue; the top left corner white."""
    made = Image.new(mode, (width, height), "red" if mode.startswith("RGB") else 128)
    if mode.startswith("RGB"):
        made.paste("blue", (width // 2, 0, width, height))
        made.paste("white", (0, 0, width // 4, height // 4))
    return made


def written(image: Image.Image, form: str = "JPEG", **options: object) -> bytes:
    file = io.BytesIO()
    image.save(file, form, **options)
    return file.getvalue()


def check(content: bytes) -> CheckedPhoto:
    return check_photo(io.BytesIO(content))


def refusal(content: bytes) -> str:
    with pytest.raises(InvalidInput) as refused:
        check(content)
    assert [fault.path for fault in refused.value.faults] == ["photo"]
    return refused.value.faults[0].code


def opened(content: bytes) -> Image.Image:
    return Image.open(io.BytesIO(content))


def chunk(kind: bytes, content: bytes) -> bytes:
    """A PNG chunk (ISO/IEC 15948, 5.3)."""
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))


def with_everything_about_its_maker() -> bytes:
    """A JPEG as a phone writes it: place, time, camera, thumbnail, comment, XMP."""
    exif = Image.Exif()
    exif[MAKE], exif[SOFTWARE], exif[ORIENTATION] = "Secretphone", "Secretware 7", 6
    exif.get_ifd(ExifTags.IFD.Exif)[DATE_TAKEN] = "2027:03:08 12:00:00"
    exif.get_ifd(GPS_IFD).update({1: "N", 2: (51.0, 30.0, 26.0), 3: "W", 4: (0.0, 7.0, 39.0)})
    xmp = b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><owner>Mara Secret</owner></x:xmpmeta>'
    return written(picture(), exif=exif, comment=b"taken at Secret Lane 4", xmp=xmp, quality=95)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_photo_becomes_two_webp_files(form: str) -> None:
    made = check(written(picture(3000, 2000), form))
    large, small = opened(made.large), opened(made.small)

    assert (large.format, small.format) == ("WEBP", "WEBP")
    assert (large.size, small.size) == ((LARGE_SIDE_PX, 1067), (SMALL_SIDE_PX, 267))
    assert (made.width, made.height) == large.size


def test_a_small_photo_is_not_blown_up() -> None:
    made = check(written(picture(64, 48)))

    assert (made.width, made.height) == (64, 48)


def test_place_time_and_camera_do_not_come_out() -> None:
    sent = with_everything_about_its_maker()
    exif = opened(sent).getexif()
    assert exif.get_ifd(GPS_IFD)[2] == (51.0, 30.0, 26.0), "the file does hold a place"
    made = check(sent)

    for content in (made.large, made.small):
        assert dict(opened(content).getexif()) == {}
        assert not {"exif", "xmp", "icc_profile", "comment"} & set(opened(content).info)
        for told in (b"Secret", b"2027", b"Exif", b"EXIF", b"XMP ", b"ICCP", b"xmpmeta"):
            assert told not in content


def test_a_photo_is_turned_as_the_camera_was_held() -> None:
    """Exif orientation 6: the 0th row is the visual right side, so the picture is turned by 90 degrees clockwise."""
    made = check(with_everything_about_its_maker())
    upright = opened(made.large).convert("RGB")

    assert upright.size == (48, 64)
    red, _, blue = upright.getpixel((24, 8))  # type: ignore[misc]
    assert red > 200 > 60 > blue
    assert min(upright.getpixel((44, 4))) > 200, "the white corner is now at the top right"  # type: ignore[type-var]


def test_colours_are_brought_into_srgb_before_their_profile_goes() -> None:
    """A profile whose red and green are swapped in the matrix: what is written as red means green."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    profile[:] = profile.replace(b"rXYZ", b"qXYZ", 1).replace(b"gXYZ", b"rXYZ", 1).replace(b"qXYZ", b"gXYZ", 1)
    made = check(written(Image.new("RGB", (32, 32), (250, 0, 0)), "PNG", icc_profile=bytes(profile)))
    red, green, _ = opened(made.large).convert("RGB").getpixel((16, 16))  # type: ignore[misc]

    assert green > 200 > 60 > red


def test_what_is_transparent_becomes_white() -> None:
    made = check(written(Image.new("RGBA", (32, 32), (0, 0, 0, 0)), "PNG"))

    assert min(opened(made.large).convert("RGB").getpixel((16, 16))) > 250  # type: ignore[type-var]


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "CMYK"])
def test_every_way_of_writing_pixels_is_read(mode: str) -> None:
    made = check(written(picture().convert(mode), "JPEG" if mode == "CMYK" else "PNG"))

    assert opened(made.large).size == (64, 48)


@pytest.mark.skipif(not READS_HEIC, reason="the HEIC decoder isn't installed here (pi-heif)")
def test_a_phones_heic_is_read_and_loses_its_place_too() -> None:
    """pictures/README.md says how the file was made; it holds a place and the time."""
    sent = (PICTURES / "placed.heic").read_bytes()
    assert b"2027:03:08" in sent
    made = check(sent)

    assert opened(made.large).size == (96, 64)
    assert b"2027" not in made.large
    assert dict(opened(made.large).getexif()) == {}


@pytest.mark.parametrize(
    ("what", "content"),
    [
        ("an SVG with a script", SVG),
        ("a page", b"<!doctype html><script>alert(1)</script>"),
        ("an SVG called a GIF", b"GIF89a" + SVG),
        ("a program", b"\x7fELF" + bytes(200)),
        ("an archive", b"PK\x03\x04" + bytes(200)),
        ("a PDF", b"%PDF-1.7\n" + bytes(200)),
        ("a TIFF", b"II*\x00" + bytes(200)),
        ("a film", b"\x00\x00\x00\x18ftypmp42" + bytes(200)),
        ("text", "Straße".encode()),
    ],
)
def test_what_is_not_a_photo_is_refused_whatever_its_name(what: str, content: bytes) -> None:
    assert refusal(content) == "photo_not_an_image", what


def test_nothing_is_asked_for_again() -> None:
    assert refusal(b"") == "photo_missing"


def test_a_file_of_sixteen_megabytes_is_refused_before_it_is_read_as_a_picture() -> None:
    assert refusal(written(picture()) + bytes(16 * 2**20)) == "photo_too_large"
    assert check(written(picture()) + bytes(LARGEST_FILE_BYTES - 20_000)).width == 64


@pytest.mark.parametrize("side", [9_000, 30_000, 60_000, 2**31 - 1])
def test_a_picture_that_claims_huge_sides_is_refused_without_decoding(side: int) -> None:
    """A PNG of a few bytes whose header claims up to four quintillion pixels."""
    header = chunk(b"IHDR", struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0))
    bomb = b"\x89PNG\r\n\x1a\n" + header + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")

    with warnings.catch_warnings():
        warnings.simplefilter("ignore", Image.DecompressionBombWarning)
        assert refusal(bomb) in {"photo_too_many_pixels", "photo_damaged"}


def test_a_picture_at_the_bound_is_taken_and_one_above_is_not() -> None:
    width = 10_000
    black = Image.new("1", (width, MOST_PIXELS // width + 1))

    assert refusal(written(black, "PNG")) == "photo_too_many_pixels"
    assert check(written(black.crop((0, 0, width, MOST_PIXELS // width)), "PNG")).width == LARGE_SIDE_PX


def test_text_packed_a_thousandfold_inside_a_picture_is_refused() -> None:
    """Fifty megabytes of text in a compressed chunk of fifty kilobytes."""
    about = PngImagePlugin.PngInfo()
    about.add_text("Comment", "a" * 50_000_000, zip=True)

    assert refusal(written(picture(), "PNG", pnginfo=about)) == "photo_damaged"


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_file_that_was_cut_off_is_refused(form: str) -> None:
    noisy = Image.effect_noise((400, 300), 90).convert("RGB")
    content = written(noisy, form)

    assert refusal(content[: len(content) // 2]) == "photo_damaged"


def test_half_a_photo_is_refused_also_where_something_else_made_the_library_lenient(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    content = written(Image.effect_noise((400, 300), 90).convert("RGB"), "JPEG")

    assert refusal(content[: len(content) // 2]) == "photo_damaged"


def test_what_hides_behind_or_inside_a_picture_does_not_come_out() -> None:
    """A JPEG that is also an archive (its directory stands at the end) and a page (in a comment)."""
    archive = io.BytesIO()
    with zipfile.ZipFile(archive, "w") as packed:
        packed.writestr("payload.js", "alert('hidden')")
    polyglot = written(picture(), comment=b"<script>alert('hidden')</script>") + archive.getvalue()
    assert zipfile.is_zipfile(io.BytesIO(polyglot))
    made = check(polyglot)

    for content in (made.large, made.small):
        assert not zipfile.is_zipfile(io.BytesIO(content))
        assert b"hidden" not in content
        assert b"PK\x03\x04" not in content


def test_of_a_moving_picture_the_first_frame_is_kept() -> None:
    frames = [Image.new("RGB", (32, 32), colour) for colour in ("red", "blue", "green")]
    made = check(written(frames[0], "WEBP", save_all=True, append_images=frames[1:], duration=50, lossless=True))

    assert getattr(opened(made.large), "n_frames", 1) == 1
    assert opened(made.large).convert("RGB").getpixel((16, 16))[0] > 200  # type: ignore[index]


@given(
    form=st.sampled_from(["JPEG", "PNG", "WEBP"]),
    changes=st.lists(st.tuples(st.floats(0, 1, exclude_max=True), st.integers(0, 255)), min_size=1, max_size=8),
    cut=st.floats(0.05, 1),
)
def test_a_mangled_file_is_a_photo_or_a_plain_refusal(form: str, changes: list[tuple[float, int]], cut: float) -> None:
    content = bytearray(written(picture(), form))
    for place, value in changes:
        content[int(place * len(content))] = value
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            made = check(bytes(content[: max(int(cut * len(content)), 1)]))
        except InvalidInput:
            return
    assert opened(made.large).format == "WEBP"
