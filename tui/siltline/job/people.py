"""The register of a job: people with their trade and licence, products with their label."""

from __future__ import annotations

from siltline.errors import NotNow, WrongUse
from siltline.job import said
from siltline.job.acts import find_photo
from siltline.job.desk import Job
from siltline.judge.register import Person, Product, key_of
from siltline.sentences import say


def people(job: Job) -> list[Person]:
    """Return the people of the register, in the order in which they came."""
    return [one for found in job.board.ledger.people.values() for one in found]


def products(job: Job) -> list[Product]:
    """Return the products of the job, in the order in which they came."""
    return [one for found in job.board.ledger.products.values() for one in found]


def add_person(job: Job, name: str, *, trade: str, licence: str = "", by: str = "") -> bool:
    """Put a person into the register, or say anew what is known of one in a trade.

    Args:
        job: the open job.
        name: as it should stand in the claim.
        trade: what the person is licensed or trained for.
        licence: as it should stand in the claim; "" where the trade has none.
        by: who says so, if told.

    Returns:
        Whether that is new: the same again adds nothing.

    Raises:
        WrongUse: no name, no trade, or one that is too long.
    """
    body = {
        "name": said.person(name),
        "trade": said.text(say("acts.trade"), trade, said.LONGEST_NAME),
        "licence": said.licence(licence),
    }
    if not body["trade"]:
        raise WrongUse(say("acts.which-trade"), about="trade")
    with job.acting(changes_states=False):
        there = job.board.ledger.people.get(key_of(body["name"], body["trade"]), [])
        new = [one.licence for one in there] != [body["licence"]]
        if new:
            job.append("person", body, by.strip() or None)
    return new


def licence_for(job: Job, name: str, trade: str) -> str:
    """Return the licence of somebody in a trade, as the register has it; "" where it has none.

    Args:
        job: the open job.
        name: as typed.
        trade: what a step asks for: `electrician`, `utility or electrician`.
    """
    wanted = trade.casefold()
    found = {
        one.licence
        for one in people(job)
        if one.name.casefold() == name.strip().casefold() and _is_of(one.trade.casefold(), wanted)
    }
    return found.pop() if len(found) == 1 else ""  # two that differ: a person decides


def _is_of(trade: str, wanted: str) -> bool:
    """Tell whether a trade is one of those that a step asks for, word by word."""
    return trade == wanted or trade in wanted.split(" or ")


def add_product(job: Job, name: str, *, registration: str, photo: str = "", by: str = "") -> bool:
    """Put a product into the register, with the number and the photo of its label.

    Args:
        job: the open job.
        name: as the label has it.
        registration: its registration number, as the label has it.
        photo: of the label: its file name or the first digits of its sha256.
        by: who says so, if told.

    Returns:
        Whether that is new: the same again adds nothing.

    Raises:
        WrongUse: no name, no such number, no such photo.
        NotNow: the photo was withheld.
    """
    kept = said.text(say("acts.product"), name, said.LONGEST_NAME)
    if not kept:
        raise WrongUse(say("acts.which-product"))
    number = said.registration_number(registration)
    with job.acting(changes_states=False):
        ledger = job.board.ledger
        sha256 = find_photo(job, photo.strip()) if photo.strip() else ""
        if sha256 in ledger.withheld:
            raise NotNow(say("photos.withheld", photo=sha256[:12]))
        there = [(one.registration, one.photo) for one in ledger.products.get(key_of(kept), [])]
        new = there != [(number, sha256)]
        if new:
            body = {"name": kept, "registration": number}
            job.append("product", body | ({"photo": sha256} if sha256 else {}), by.strip() or None)
    return new


def product_named(job: Job, typed: str) -> Product | None:
    """Return the product of the job that somebody means by its name or its number."""
    wanted = typed.strip().casefold()
    found = [
        one for one in products(job) if wanted in (one.name.casefold(), one.registration.casefold())
    ]
    return found[0] if len(found) == 1 else None
