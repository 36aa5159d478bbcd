"""A photo as a phone takes it: large, with the place where it was taken."""

from io import BytesIO

from PIL import Image

PLACE = b"taken 57.4778 N, 4.2247 W"


def camera(width: int = 3000, height: int = 2000) -> bytes:
    exif = Image.Exif()
    exif[0x010E] = PLACE.decode()
    out = BytesIO()
    Image.effect_noise((width, height), 90).convert("RGB").save(out, "JPEG", exif=exif)
    return out.getvalue()
