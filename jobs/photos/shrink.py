"""Making previews in a limited child process: a hostile image can only end that child."""

import os
import resource
import signal
import sys
import warnings
from collections.abc import Callable
from contextlib import suppress
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageFile, ImageOps

from jobs.photos.files import LARGE, PAPER, SMALL
from jobs.photos.headers import FORMATS, MOST_PIXELS

MEMORY_BYTES = 1_500 * 1024 * 1024
CPU_SECONDS = 20
QUALITY = 82
_ORIENTATION = 0x0112


class ShrinkError(Exception):
    """No preview could be made; the message says why."""


def shrink(source: Path, large: Path, small: Path) -> None:
    """Write both previews of one photo, upright, without any metadata (no place, no camera)."""
    with _opened(source) as image:
        turn = image.getexif().get(_ORIENTATION, 1)
        # draft() keeps both sides at least this large, so ask in the photo's own aspect.
        image.draft("RGB", _fit(image.size, LARGE))
        image.load()
        # The gap is for thumbnails that draft() could not shrink; here it would shrink nothing.
        big = _opaque(image).resize(
            _fit(image.size, LARGE), Image.Resampling.LANCZOS, reducing_gap=None
        )
    big = _upright(big, turn)
    _save(big, large)
    _save(big.resize(_fit(big.size, SMALL), Image.Resampling.LANCZOS), small)


def for_paper(large: bytes) -> bytes:
    """A large preview, written by shrink(), at the size that paper can show."""
    with Image.open(BytesIO(large)) as image:
        if max(image.size) <= PAPER:
            return large
        image.draft("RGB", (PAPER, PAPER))
        image.thumbnail((PAPER, PAPER), Image.Resampling.LANCZOS)
        smaller = BytesIO()
        image.convert("RGB").save(smaller, "JPEG", quality=80)
    return smaller.getvalue()


def _opened(source: Path) -> Image.Image:
    """The header. The child decides for itself what is an error.

    The document renderer, loaded in the same worker, lets Pillow fill up half photos with grey; a
    half photo is no evidence of what its other half shows.
    """
    ImageFile.LOAD_TRUNCATED_IMAGES = False
    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        return Image.open(source, formats=tuple(FORMATS))


def _fit(size: tuple[int, int], longest: int) -> tuple[int, int]:
    """The size scaled down so that its longer side fits; never scaled up."""
    scale = min(1.0, longest / max(size))
    return max(1, round(size[0] * scale)), max(1, round(size[1] * scale))


def _opaque(image: Image.Image) -> Image.Image:
    """Plain RGB; what was transparent becomes white paper."""
    if "A" not in image.getbands() and "transparency" not in image.info:
        return image.convert("RGB")
    with_alpha = image.convert("RGBA")
    paper = Image.new("RGBA", with_alpha.size, "white")
    paper.alpha_composite(with_alpha)
    return paper.convert("RGB")


def _upright(image: Image.Image, orientation: int) -> Image.Image:
    """A new image holding only pixels, turned as the camera's orientation mark asks."""
    exif = Image.Exif()
    exif[_ORIENTATION] = orientation
    bare = Image.new("RGB", image.size)
    bare.paste(image)
    bare.info["exif"] = exif.tobytes()
    upright = ImageOps.exif_transpose(bare)
    upright.info.clear()
    return upright


def _save(image: Image.Image, path: Path) -> None:
    with path.open("wb") as file:
        image.save(file, "JPEG", quality=QUALITY)
        file.flush()
        os.fsync(file.fileno())


def in_limited_child(work: Callable[[], None], *, seconds: int = 40) -> None:
    """Run `work` in a forked child with little memory and time; raise ShrinkError if it fails."""
    read_end, write_end = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(read_end)
        _run_and_exit(work, write_end, seconds)
    os.close(write_end)
    with os.fdopen(read_end, "rb") as pipe:
        message = pipe.read().decode("utf-8", "replace")
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        raise ShrinkError(f"decoding was stopped: {signal.strsignal(os.WTERMSIG(status))}")
    if message or os.WEXITSTATUS(status):
        raise ShrinkError(message or "decoding failed")


def _run_and_exit(work: Callable[[], None], write_end: int, seconds: int) -> None:
    """The child's whole life. It never returns into the parent's code."""
    code = 1
    try:
        _limit(seconds)
        work()
        code = 0
    except MemoryError:
        os.write(write_end, b"decoding needs too much memory")
    except BaseException as error:  # the child must end here, whatever happens
        text = f"the picture data cannot be decoded ({type(error).__name__})"
        os.write(write_end, text.encode())
    finally:
        os._exit(code)


def _limit(seconds: int) -> None:
    for name in (signal.SIGTERM, signal.SIGALRM, signal.SIGINT):
        signal.signal(name, signal.SIG_DFL)
    signal.alarm(seconds)
    _, hard = resource.getrlimit(resource.RLIMIT_CPU)
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_SECONDS, hard))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    if sys.platform == "linux":  # elsewhere an address-space limit is not honoured
        with suppress(ValueError, OSError):
            resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
