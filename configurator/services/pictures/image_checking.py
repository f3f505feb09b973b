"""Makes a photo anew from whatever was sent: judged by its content, never by its name, and nothing of the file itself is kept.

What comes out is pixels alone in two WebP files: turned upright (EXIF orientation), in sRGB, without place, time, camera, text or
anything hidden behind the picture. What is checked before a pixel is decoded: the size of the file, its first bytes, the number of
pixels it claims. Decoding runs one at a time in a process, so that a few large photos can't take all of its memory.
"""

import threading
from io import BytesIO
from typing import BinaryIO

from PIL import Image, ImageCms, ImageFile, ImageOps

from configurator.domain.photos import LARGE_SIDE_PX, LARGEST_FILE_BYTES, SMALL_SIDE_PX, CheckedPhoto
from configurator.errors import Fault, InvalidInput

try:
    from pi_heif import register_heif_opener
except ImportError:
    READS_HEIC = False
else:
    register_heif_opener(thumbnails=False)
    READS_HEIC = True

MOST_PIXELS = 64_000_000
"""More than the photos that phones make by default (12 to 50 million); decoded, as much as 200 MB."""
LARGEST_MB = LARGEST_FILE_BYTES // 2**20
QUALITY = {"large": 82, "small": 74}
_HEIC_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"mif1", b"msf1"}
"""ISO/IEC 23008-12, annex B: brands of files coded with HEVC, and the general ones."""
_one_at_a_time = threading.Lock()


def check_photo(stream: BinaryIO, path: str = "photo") -> CheckedPhoto:
    """The photo made anew. Raises InvalidInput with one fault at `path` that says what to do."""
    content = stream.read(LARGEST_FILE_BYTES + 1)
    if not content:
        raise InvalidInput([Fault(path, "photo_missing")])
    if len(content) > LARGEST_FILE_BYTES:
        raise InvalidInput([Fault(path, "photo_too_large", {"most": LARGEST_MB})])
    kind = _kind(content)
    if kind is None or (kind == "HEIF" and not READS_HEIC):
        raise InvalidInput([Fault(path, "photo_heic_unreadable" if kind else "photo_not_an_image")])
    with _one_at_a_time:
        # The library that sets PDFs switches this on for the whole process when it is loaded; then half a photo would do.
        ImageFile.LOAD_TRUNCATED_IMAGES = False
        return _made_anew(content, kind, path)


def _kind(content: bytes) -> str | None:
    """The decoder for what the first bytes say, None for everything that isn't taken."""
    if content.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if content.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return "WEBP"
    if content[4:8] == b"ftyp" and content[8:12] in _HEIC_BRANDS:
        return "HEIF"
    return None


def _made_anew(content: bytes, kind: str, path: str) -> CheckedPhoto:
    try:
        with Image.open(BytesIO(content), formats=[kind]) as image:
            if image.width * image.height > MOST_PIXELS:
                raise InvalidInput([Fault(path, "photo_too_many_pixels", {"most": MOST_PIXELS // 1_000_000})])
            upright = _upright(image)
    except InvalidInput:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise InvalidInput([Fault(path, "photo_too_many_pixels", {"most": MOST_PIXELS // 1_000_000})]) from None
    except Exception as error:  # a decoder may raise anything on a file that was made to break it
        raise InvalidInput([Fault(path, "photo_damaged")]) from error
    large = _pixels_alone(upright, LARGE_SIDE_PX)
    small = _pixels_alone(large, SMALL_SIDE_PX)
    return CheckedPhoto(_webp(large, "large"), _webp(small, "small"), large.width, large.height)


def _upright(image: Image.Image) -> Image.Image:
    """Decoded no larger than needed, turned as the camera was held, in sRGB on white."""
    profile = image.info.get("icc_profile")
    if image.mode in {"1", "P"}:
        image = image.convert("RGBA")
    image.thumbnail((LARGE_SIDE_PX, LARGE_SIDE_PX), Image.Resampling.LANCZOS, reducing_gap=2.0)
    upright = ImageOps.exif_transpose(image)
    if upright.mode in {"RGBA", "LA", "PA"} or "transparency" in upright.info:
        upright = Image.alpha_composite(Image.new("RGBA", upright.size, "white"), upright.convert("RGBA"))
    upright = upright.convert("RGB")
    return _in_srgb(upright, profile) if profile and image.mode in {"RGB", "RGBA"} else upright


def _in_srgb(image: Image.Image, profile: bytes) -> Image.Image:
    """Colours as the camera meant them; a profile that can't be read counts as none."""
    try:
        own = ImageCms.getOpenProfile(BytesIO(profile))
        turned = ImageCms.profileToProfile(image, own, ImageCms.createProfile("sRGB"))
    except (ImageCms.PyCMSError, OSError, ValueError):
        return image
    return turned if turned is not None else image


def _pixels_alone(image: Image.Image, side: int) -> Image.Image:
    """A new picture of at most `side` pixels that has never heard of the file it comes from."""
    smaller = ImageOps.contain(image, (side, side), Image.Resampling.LANCZOS) if max(image.size) > side else image
    alone = Image.new("RGB", smaller.size)
    alone.paste(smaller)
    return alone


def _webp(image: Image.Image, size: str) -> bytes:
    written = BytesIO()
    image.save(written, "WEBP", quality=QUALITY[size], method=4)
    return written.getvalue()
