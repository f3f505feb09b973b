"""Photos for the staff: all of a request at the front desk; in the bay only those that the bay takes.

Other pages show them with `templates/components/photos.html`: `photo_gallery(photo_cards(record, 'check_in', bay=true))` and
`photo_form(...)` with `bay_photo_form(record, 'check_in', back=...)`.
"""

from flask import Blueprint, Response, abort, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as BaseResponse

from configurator.domain.desk import Request
from configurator.domain.photos import BAY_KINDS, LARGEST_FILE_BYTES, Photo, PhotoKind, PhotoSize
from configurator.domain.review import State
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services import reviewing
from configurator.services.pictures import photos
from configurator.services.pictures.photos import NoSuchPhoto
from configurator.services.ports import FilesUnavailable
from configurator.web import limits
from configurator.web.errors import problem
from configurator.web.i18n import words
from configurator.web.limits import limiter
from configurator.web.photo_serving import TAKEN, PhotoCard, cards, image, let_photos_in, sent_photo, shown, wants_json
from configurator.web.staff.guard import needs, person, user
from configurator.web.wiring import wired

ALL_KINDS = frozenset(PhotoKind)


@needs(Right.READ_REQUESTS)
def photo_page(reference: str) -> str:
    """Every photo of a request, and where one is added."""
    return _page(_request(reference), bay=False)


@needs(Right.BAY)
def bay_photo_page(reference: str) -> str:
    """The photos that the bay took."""
    return _page(_request(reference), bay=True)


@limiter.limit(limits.photos)
@needs(Right.WORK_REQUESTS)
def add_photo(reference: str) -> Response | BaseResponse:
    """Adds one at the desk, of any kind (a customer may have mailed it)."""
    return _add(reference, bay=False)


@limiter.limit(limits.photos)
@needs(Right.BAY)
def add_bay_photo(reference: str) -> Response | BaseResponse:
    """Adds one in the bay."""
    return _add(reference, bay=True)


@needs(Right.READ_REQUESTS)
def photo_view(reference: str, name: str) -> str:
    """One photo by itself."""
    return _view(_request(reference), name, bay=False)


@needs(Right.BAY)
def bay_photo_view(reference: str, name: str) -> str:
    """One photo of the bay by itself."""
    return _view(_request(reference), name, bay=True)


@needs(Right.READ_REQUESTS)
def photo_file(reference: str, name: str, size: str) -> Response:
    """The image."""
    return image(_find(_request(reference), name, ALL_KINDS), size)


@needs(Right.BAY)
def bay_photo_file(reference: str, name: str, size: str) -> Response:
    """The image of one that the bay took."""
    return image(_find(_request(reference), name, BAY_KINDS), size)


@needs(Right.WORK_REQUESTS)
def remove_photo(reference: str, name: str) -> BaseResponse:
    """Takes one away for good; the history keeps that there was one."""
    kept = _request(reference)
    photos.remove(_find(kept, name, ALL_KINDS), person(), wired().album)
    return redirect(url_for("staff.photos", reference=reference), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses, and what other pages show of photos."""
    for where, prefix, page, add, view, file in (
        ("/requests/<reference>/photos", "", photo_page, add_photo, photo_view, photo_file),
        ("/bay/photos/<reference>", "bay_", bay_photo_page, add_bay_photo, bay_photo_view, bay_photo_file),
    ):
        blueprint.add_url_rule(where, f"{prefix}photos", page)
        blueprint.add_url_rule(where, f"add_{prefix}photo", add, methods=["POST"])
        blueprint.add_url_rule(f"{where}/<name>", f"{prefix}photo", view)
        blueprint.add_url_rule(f"{where}/<name>/<size>.webp", f"{prefix}photo_file", file)
    blueprint.add_url_rule("/requests/<reference>/photos/<name>/remove", "remove_photo", remove_photo, methods=["POST"])
    let_photos_in(blueprint, "add_photo", "add_bay_photo")
    blueprint.register_error_handler(FilesUnavailable, _unavailable)
    blueprint.context_processor(
        lambda: {
            "photo_cards": photo_cards,
            "photo_kinds": tuple(kind.value for kind in PhotoKind),
            "photos_taken": TAKEN,
            "photo_largest_bytes": LARGEST_FILE_BYTES,
            "photos_most": lambda: wired().shop.book.terms.max_photos,
        }
    )


def photo_cards(kept: Request, kind: str, *, bay: bool = False) -> tuple[PhotoCard, ...]:
    """For templates: a request's photos of one kind (`visitor`, `check_in`, `after`); `bay` gives addresses that bay pages may open."""
    if bay and PhotoKind(kind) not in BAY_KINDS:
        return ()
    return _cards(kept, photos.list_of(kept.id, PhotoKind(kind), wired().album), bay=bay)


def _cards(kept: Request, found: tuple[Photo, ...], *, bay: bool) -> tuple[PhotoCard, ...]:
    prefix = "staff.bay_" if bay else "staff."

    def page(photo: Photo) -> str:
        return url_for(f"{prefix}photo", reference=kept.reference, name=photo.name)

    def file(photo: Photo, size: PhotoSize) -> str:
        return url_for(f"{prefix}photo_file", reference=kept.reference, name=photo.name, size=size.value)

    return cards(found, page, file)


def _request(reference: str) -> Request:
    with wired().store.reading() as work:
        return reviewing.find(reference, work)


def _find(kept: Request, name: str, kinds: frozenset[PhotoKind]) -> Photo:
    try:
        found = photos.find(kept.id, name, wired().album)
    except NoSuchPhoto:
        abort(404)
    if found.kind not in kinds:
        abort(404)
    return found


def _add(reference: str, *, bay: bool) -> Response | BaseResponse:
    kept, kind = _request(reference), _kind(bay=bay)
    try:
        photos.add(kept.id, kind, sent_photo(), person(), wired().album, caption=request.form.get("caption", ""))
    except InvalidInput as error:
        if wants_json():
            return problem(422, error.code, faults=error.faults)
        faults = {fault.path: words().fault(fault) for fault in error.faults}
        return make_response(_page(kept, bay=bay, faults=faults), 422)
    if wants_json():
        return make_response({"left": wired().album.most - len(photos.list_of(kept.id, kind, wired().album))}, 201)
    return redirect(_back() or url_for("staff.bay_photos" if bay else "staff.photos", reference=reference), code=303)


def _kind(*, bay: bool) -> PhotoKind:
    given = request.form.get("kind", "")
    allowed = BAY_KINDS if bay else ALL_KINDS
    if given not in {kind.value for kind in allowed}:
        abort(400)
    return PhotoKind(given)


def _back() -> str | None:
    """The page of ours that the form stood on, where it says so."""
    back = request.form.get("back", "")
    return back if back.startswith("/staff/") and "\\" not in back and not back.startswith("/staff//") else None


def _page(kept: Request, *, bay: bool, faults: dict[str, str] | None = None) -> str:
    kinds = [kind.value for kind in PhotoKind if kind in (BAY_KINDS if bay else ALL_KINDS)]
    return render_template(
        "staff/photos.html",
        kept=kept,
        bay=bay,
        kinds=kinds,
        may_add=user().may(Right.BAY if bay else Right.WORK_REQUESTS),
        chosen=request.form.get("kind") or request.args.get("kind") or _usual_kind(kept, kinds),
        back=_back() or "",
        typed=request.form.get("caption", ""),
        faults=faults or {},
    )


def _usual_kind(kept: Request, kinds: list[str]) -> str:
    """What is most likely added now: in the bay before the work what is seen at check-in, then how the car leaves."""
    after_check_in = kept.state in {State.IN_BAY, State.HANDED_OVER}
    return PhotoKind.AFTER.value if after_check_in else kinds[0]


def _view(kept: Request, name: str, *, bay: bool) -> str:
    found = _find(kept, name, BAY_KINDS if bay else ALL_KINDS)
    of_kind = photos.list_of(kept.id, found.kind, wired().album)
    return render_template(
        "staff/photo.html",
        kept=kept,
        bay=bay,
        photo_kind=found.kind.value,
        shown=shown(_cards(kept, of_kind, bay=bay), name),
        may_remove=not bay and user().may(Right.WORK_REQUESTS),
    )


def _unavailable(_error: FilesUnavailable) -> Response:
    say = words()
    texts = [say.gettext("The place where photos lie does not answer just now. Nothing was saved. Wait a moment and try again.")]
    body = render_template("staff/problem.html", title=say.gettext("Something went wrong on our side"), texts=texts, kind="care")
    return make_response(body, 503)
