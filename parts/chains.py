"""Walk from number to number along what members stated: which follow, and which went before.

One recursive query on either database. It ends for whatever was entered: at most so many steps deep, and a circle
(which `superseding.state` refuses, but which a slip in the data could still hold) comes to an end by its depth.
"""

from __future__ import annotations

from parts.prepared import Statement

DEEPEST = 24  # steps; a part that was superseded more often than that is a slip of the pen

# "x = x" is true of every key: it tells SQLite that few rows come, or it reads the whole table first to make itself a
# filter (measured with SQLite 3.40 among a million steps: 265 ms with it, 0.03 ms without).
# The names of table and columns are those of `models.Supersession`; values go in as parameters only.
HEADS = Statement("benchring_chain_head", ["bigint", "integer"], """
WITH RECURSIVE way(number, depth) AS (
    SELECT CAST(%s AS bigint), 0
    UNION
    SELECT step.new_id, way.depth + 1 FROM way JOIN parts_supersession step ON step.old_id = way.number
    WHERE step.taken_back_at IS NULL AND step.kind = 'replaced' AND way.depth < %s
      AND way.number = way.number AND way.depth = way.depth
)
SELECT number FROM way ORDER BY depth DESC, number LIMIT 1
""")  # fmt: skip
CONNECTED = Statement("benchring_chain", ["bigint", "integer", "bigint", "integer", "integer"], """
WITH RECURSIVE onward(number, depth) AS (
    SELECT CAST(%s AS bigint), 0
    UNION
    SELECT step.new_id, onward.depth + 1 FROM onward JOIN parts_supersession step ON step.old_id = onward.number
    WHERE step.taken_back_at IS NULL AND onward.depth < %s
      AND onward.number = onward.number AND onward.depth = onward.depth
), backward(number, depth) AS (
    SELECT CAST(%s AS bigint), 0
    UNION
    SELECT step.old_id, backward.depth + 1 FROM backward JOIN parts_supersession step ON step.new_id = backward.number
    WHERE step.taken_back_at IS NULL AND backward.depth < %s
      AND backward.number = backward.number AND backward.depth = backward.depth
)
SELECT number, MIN(depth) AS steps FROM (SELECT * FROM onward UNION ALL SELECT * FROM backward) AS walked
GROUP BY number ORDER BY steps, number LIMIT %s
""")  # fmt: skip


def last_of(number: int, *, deepest: int = DEEPEST) -> int:
    """The key of the number that the chain of the given one ends with; its own where nothing replaces it."""
    return HEADS.rows(number, deepest)[0][0]


def connected(number: int, *, deepest: int = DEEPEST, most: int = 60) -> list[int]:
    """Keys of the numbers before and after the given one, itself first, the nearest next; at most `most`."""
    return [row[0] for row in CONNECTED.rows(number, deepest, number, deepest, most)]
