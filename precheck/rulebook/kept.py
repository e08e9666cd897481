"""Rules of the cache: unpacked source by source, when one of a source is first asked for."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping

from precheck.model.rules import Rule

Unpack = Callable[[bytes], tuple[Rule, ...]]


class KeptRules(Mapping[str, Rule]):
    """Rules by id, in the order of the library. A gate needs those of a few sources only.

    `index` is the source of each id; `packed` the rules of each source, as `unpack` takes them.
    """

    def __init__(self, index: Mapping[str, str], packed: Mapping[str, bytes], unpack: Unpack) -> None:
        self._index = dict(index)
        self._packed = packed
        self._unpack = unpack
        self._there: dict[str, dict[str, Rule]] = {}
        self.sources = frozenset(packed)

    def __getitem__(self, name: str) -> Rule:
        return self._source(self._index[name])[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._index)

    def __len__(self) -> int:
        return len(self._index)

    def of(self, sources: Collection[str]) -> list[Rule]:
        """The rules of some sources, in the order of the library."""
        return [self[name] for name, source in self._index.items() if source in sources]

    def _source(self, source: str) -> dict[str, Rule]:
        if source not in self._there:
            self._there[source] = {rule.id: rule for rule in self._unpack(self._packed[source])}
        return self._there[source]
