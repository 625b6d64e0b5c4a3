"""Talks to a hub: lists, fetches, watches, asks for figures; prints what it saw as JSON.

Usage: python -m foreign HOST:PORT SITE RECIPE PIECES DAY
"""

import hashlib
import json
import sys
from datetime import date

import grpc

from .stubs import Stubs

# No call here takes long; a hub that doesn't answer must fail the test, not hang it.
SECONDS = 20


def listed(stubs, channel, site):
    """Every document that the site may read, over as many pages as there are."""
    documents, token = [], ""
    service, pb = stubs.service("document", channel), stubs.requests("document")
    while True:
        # Small pages, so that paging itself is tried.
        request = pb.ListDocumentsRequest(site=site, page_size=7, page_token=token)
        page = service.ListDocuments(request, timeout=SECONDS)
        documents += page.documents
        token = page.next_page_token
        if not token:
            return documents


def fetched(stubs, channel, site, reference):
    """A revision, held to its digest before it is parsed."""
    service, pb = stubs.service("document", channel), stubs.requests("document")
    request = pb.GetRevisionRequest(site=site, digest=reference.digest)
    stored = service.GetRevision(request, timeout=SECONDS).revision
    if hashlib.sha256(stored.frozen.body).digest() != reference.digest:
        raise SystemExit("the bytes are not those of the digest")
    return stubs.messages("revision").Revision.FromString(stored.frozen.body)


def watched(stubs, channel, site):
    """The positions of the site's view, from the start to the head, by the stream."""
    service, pb = stubs.service("feed", channel), stubs.requests("feed")
    state = service.GetFeedState(pb.GetFeedStateRequest(site=site), timeout=SECONDS)
    positions, previous = [], 0
    stream = service.WatchChanges(pb.WatchChangesRequest(site=site), timeout=SECONDS)
    for response in stream:
        for entry in response.entries:
            if entry.previous_position != previous:
                raise SystemExit(f"a hole before position {entry.position}")
            previous = entry.position
            positions.append(entry.position)
        if response.next.position >= state.head.position:
            stream.cancel()
            return positions
    raise SystemExit("the watch ended by itself")


def target(stubs, pieces):
    """So many pieces."""
    quantity = stubs.messages("quantity")
    number = quantity.Number(decimal=quantity.Decimal(coefficient=pieces, exponent=0))
    return stubs.messages("figure").Target(pieces=quantity.Count(number=number))


def figures(stubs, channel, site, recipe, pieces, day):
    """The plan and its cost, as exact figures."""
    service, pb = stubs.service("figure", channel), stubs.requests("figure")
    asked = {"site": site, "recipe": recipe, "target": target(stubs, pieces)}
    plan = service.Scale(pb.ScaleRequest(**asked), timeout=SECONDS).plan
    on = stubs.messages("common").Date(year=day.year, month=day.month, day=day.day)
    costing = service.Cost(pb.CostRequest(**asked, on=on), timeout=SECONDS).costing
    return {
        "ingredients": {total.ingredient: total.mass_g.exact for total in plan.ingredients},
        "batches": {one.recipe: one.batches for one in plan.components},
        "food": costing.food.exact,
        "total": costing.total.exact,
        "currency": costing.currency,
        "digests": sorted(bytes(digest).hex() for digest in plan.basis.digests),
    }


def refused(stubs, channel, site):
    """The code and the reason with which an unknown recipe is refused."""
    service, pb = stubs.service("figure", channel), stubs.requests("figure")
    request = pb.ScaleRequest(site=site, recipe="no-such-recipe", target=target(stubs, 1))
    try:
        service.Scale(request, timeout=SECONDS)
    except grpc.RpcError as error:
        return error.code().name
    raise SystemExit("an unknown recipe was scaled")


def main():
    address, site, recipe, pieces, day = sys.argv[1:]
    stubs = Stubs()
    with grpc.insecure_channel(address) as channel:
        documents = listed(stubs, channel, site)
        wanted = next(one for one in documents if one.id == recipe)
        revision = fetched(stubs, channel, site, wanted)
        seen = {
            "documents": [f"{one.kind}/{one.id}" for one in documents],
            "revision": {"number": revision.number, "lines": len(revision.recipe.lines)},
            "watched": watched(stubs, channel, site),
            "figures": figures(
                stubs, channel, site, recipe, int(pieces), date.fromisoformat(day)
            ),
            "refused": refused(stubs, channel, site),
        }
    print(json.dumps(seen, indent=1))


main()
