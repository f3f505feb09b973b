"""Photos on the private page: the visitor adds, looks at and takes away their own; after hand-over, also the shop's are there."""

from flask import Blueprint, Response, abort, jsonify, make_response, redirect, render_template, request, url_for
from werkzeug.exceptions import RequestEntityTooLarge
from werkzeug.wrappers import Response as BaseResponse

from configurator.domain.desk import VISITOR, Request
from configurator.domain.photos import LARGEST_FILE_BYTES, Photo, PhotoKind, PhotoSize
from configurator.domain.review import State
from configurator.errors import Fault, InvalidInput
from configurator.services.pictures import photos
from configurator.services.pictures.image_checking import LARGEST_MB
from configurator.services.pictures.photos import NoSuchPhoto
from configurator.services.ports import ChangedMeanwhile, FilesUnavailable
from configurator.web import limits
from configurator.web.errors import problem
from configurator.web.i18n import words
from configurator.web.limits import limiter
from configurator.web.photo_serving import TAKEN, PhotoCard, cards, image, let_photos_in, sent_photo, shown, wants_json
from configurator.web.private.guard import request_of
from configurator.web.wiring import wired


def photo_page(token: str) -> str:
    """The visitor's photos, and where one is added."""
    return _page(token, request_of(token))


@limiter.limit(limits.photos)
def add_photo(token: str) -> Response | BaseResponse:
    """Adds one; the next page is the list, or JSON for a program."""
    kept = request_of(token)
    if not may_add(kept):
        raise ChangedMeanwhile(kept.reference)
    try:
        photo = photos.add(kept.id, PhotoKind.VISITOR, sent_photo(), VISITOR, wired().album, caption=request.form.get("caption", ""))
    except InvalidInput as error:
        return _refused(token, kept, error)
    except RequestEntityTooLarge:
        return _refused(token, kept, InvalidInput([Fault("photo", "photo_too_large", {"most": LARGEST_MB})]), status=413)
    if wants_json():
        return make_response(jsonify(_document(token, photo)), 201)
    return redirect(url_for("private.photos", token=token), code=303)


def photo_view(token: str, name: str) -> str | Response:
    """One photo by itself."""
    kept = request_of(token)
    found = _find(kept, name)
    of_kind = photos.list_of(kept.id, found.kind, wired().album)
    return render_template(
        "private/photo.html",
        token=token,
        kept=kept,
        shown=shown(_cards(token, of_kind), name),
        may_remove=found.kind is PhotoKind.VISITOR and may_add(kept),
    )


def photo_file(token: str, name: str, size: str) -> Response:
    """The image."""
    return image(_find(request_of(token), name), size)


def remove_photo(token: str, name: str) -> BaseResponse:
    """Takes one of the visitor's own away, as long as the request is open."""
    kept = request_of(token)
    found = _find(kept, name)
    if found.kind is not PhotoKind.VISITOR or not may_add(kept):
        raise ChangedMeanwhile(kept.reference)
    photos.remove(found, VISITOR, wired().album)
    return redirect(url_for("private.photos", token=token), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses, and what the private page shows of them."""
    blueprint.add_url_rule("/<token>/photos", "photos", photo_page)
    blueprint.add_url_rule("/<token>/photos", "add_photo", add_photo, methods=["POST"])
    blueprint.add_url_rule("/<token>/photos/<name>", "photo", photo_view)
    blueprint.add_url_rule("/<token>/photos/<name>/<size>.webp", "photo_file", photo_file)
    blueprint.add_url_rule("/<token>/photos/<name>/remove", "remove_photo", remove_photo, methods=["POST"])
    let_photos_in(blueprint, "add_photo")
    blueprint.register_error_handler(FilesUnavailable, _unavailable)
    blueprint.context_processor(lambda: {"visitor_photos": visitor_photos, "may_add_photos": may_add})


def may_add(kept: Request) -> bool:
    """While something is still to be done with the request."""
    return kept.state.is_open


def visitor_photos(kept: Request, token: str, kind: str = PhotoKind.VISITOR.value) -> tuple[PhotoCard, ...]:
    """For templates: the photos of a kind that the holder of the link may see."""
    wanted = PhotoKind(kind)
    return _cards(token, photos.list_of(kept.id, wanted, wired().album)) if wanted in _visible(kept) else ()


def _visible(kept: Request) -> frozenset[PhotoKind]:
    """Their own always; the shop's once the car is back with them."""
    return frozenset(PhotoKind) if kept.state is State.HANDED_OVER else frozenset({PhotoKind.VISITOR})


def _find(kept: Request, name: str) -> Photo:
    try:
        found = photos.find(kept.id, name, wired().album)
    except NoSuchPhoto:
        found = None
    if found is None or found.kind not in _visible(kept):
        abort(404)
    return found


def _cards(token: str, found: tuple[Photo, ...]) -> tuple[PhotoCard, ...]:
    def page(photo: Photo) -> str:
        return url_for("private.photo", token=token, name=photo.name)

    def file(photo: Photo, size: PhotoSize) -> str:
        return url_for("private.photo_file", token=token, name=photo.name, size=size.value)

    return cards(found, page, file)


def _document(token: str, photo: Photo) -> dict[str, object]:
    left = wired().album.most - len(photos.list_of(photo.request_id, photo.kind, wired().album))
    address = url_for("private.photo_file", token=token, name=photo.name, size=PhotoSize.LARGE.value)
    return {"photo": address, "width": photo.width, "height": photo.height, "caption": photo.caption, "left": left}


def _refused(token: str, kept: Request, error: InvalidInput, *, status: int = 422) -> Response:
    if wants_json():
        return problem(status, "too_large" if status == 413 else "invalid_input", faults=error.faults)
    faults = {fault.path: words().fault(fault) for fault in error.faults}
    return make_response(_page(token, kept, faults), status)


def _page(token: str, kept: Request, faults: dict[str, str] | None = None) -> str:
    mine = visitor_photos(kept, token)
    return render_template(
        "private/photos.html",
        token=token,
        kept=kept,
        cards=mine,
        left=wired().album.most - len(mine),
        most=wired().album.most,
        largest_bytes=LARGEST_FILE_BYTES,
        taken=TAKEN,
        faults=faults or {},
        typed=request.form.get("caption", "") if faults and "photo" not in faults else "",
    )


def _unavailable(_error: FilesUnavailable) -> Response:
    say = words()
    texts = [say.gettext("We can't take or show photos just now. Please try again in a moment.")]
    token = (request.view_args or {}).get("token", "")
    title = say.gettext("Something went wrong on our side")
    return make_response(render_template("private/problem.html", title=title, texts=texts, token=token), 503)
