"""Repeats kept: what the book's visits tell of their testers, read once each and then kept at hand."""

from __future__ import annotations

from dataclasses import dataclass, field

from foldspan.records.book import Book
from foldspan.records.tester_error import KeptRepeats, repeats_at
from foldspan.records.visits import kept_visit


@dataclass(repr=False)
class RepeatsAtHand:
    """Every site of a book that was read twice or more; a visit is read again when it has changed."""

    _known: dict[int, tuple[int, tuple[KeptRepeats, ...]]] = field(default_factory=dict)

    def of(self, book: Book) -> tuple[KeptRepeats, ...]:
        """Return all of them, as ``records.tester_error.repeats_of`` does."""
        owners = dict(book.all_visits())
        self.read_some(book, len(owners))
        # one that another session deleted meanwhile is not known any more
        rows = [row for row in owners if row in self._known]
        return tuple(repeat for row in rows for repeat in self._known[row][1])

    def read_some(self, book: Book, most: int) -> bool:
        """Read up to so many visits that are new or have changed; return whether there are more."""
        owners, places = dict(book.all_visits()), book.last_places()
        for row in self._known.keys() - owners.keys():
            del self._known[row]
        stale = [row for row in owners if self._known.get(row, (None,))[0] != places.get(row, 0)]
        for row in stale[:most]:
            kept = kept_visit(book, row, owners[row])
            found = tuple(repeats_at(kept)) if kept.has_ended else ()
            self._known[row] = (places.get(row, 0), found)
        return len(stale) > most
