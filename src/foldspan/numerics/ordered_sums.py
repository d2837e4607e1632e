"""Ordered sums: matrix products whose additions always run in one order.

A matrix library shares large products out among threads and picks its kernel by the processor, and each
way of sharing adds up in another order: the last bits of an answer would depend on how many threads
there are. Nothing in foldspan is worth that, so no other module multiplies matrices (a test of the
house looks). ``numpy.einsum`` without optimisation never calls the matrix library.

The one large product, over all pairs of equations for a block of people, is worth the library's speed:
it goes there only in pieces that the library never shares out, and only where the library is one whose
rule is known.

Inverses, solutions and factors of small matrices (``numpy.linalg``, at most ``LARGEST`` rows) stay with
the library: below that it works in one thread.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from foldspan.catalogue.card import Array

# OpenBLAS keeps a product of up to 65,536 × 4 multiplications in one thread (interface/gemm.c, not
# verified in print; tested with several numbers of threads and kernels)
NEVER_SHARED = 262_144
# and factors matrices of fewer than 64 rows in one thread (interface/lapack, not verified in print)
LARGEST = 63
# The library takes this many rows of the result at a time and adds up each element by itself, term by
# term; rows that are left over it may add up in another order (seen with the kernels for Haswell, Zen,
# Nehalem and Prescott). Every product is filled up to a multiple: then a term of zero leaves no trace.
ROWS = 4
# so many columns at a time of a table whose rows are multiplied with each other
PIECE = 64


def product(left: Array, right: Array) -> Array:
    """Return ``left @ right`` of vectors (K,) and matrices (M, K) or (K, N), in one order of sums."""
    left_axes = "k" if left.ndim == 1 else "mk"
    right_axes = "k" if right.ndim == 1 else "kn"
    kept = left_axes.replace("k", "") + right_axes.replace("k", "")
    return np.asarray(np.einsum(f"{left_axes},{right_axes}->{kept}", left, right))


def inner(left: Array, right: Array) -> float:
    """Return the sum of the products of two vectors (K,)."""
    return float(np.einsum("k,k->", left, right))


def quadratic(weights: Array, matrix: Array) -> float:
    """Return ``weights @ matrix @ weights``: the variance of a weighted sum with that covariance."""
    return inner(product(weights, matrix), weights)


def covariance(table: Array) -> Array:
    """Return the covariance (Q, Q) of Q variables in rows, as ``numpy.cov`` does."""
    centred = table - table.mean(axis=1, keepdims=True)
    return np.asarray(np.einsum("in,jn->ij", centred, centred) / (table.shape[1] - 1))


def least_squares(design: Array, measured: Array) -> Array:
    """Return the coefficients (K,) that fit ``measured`` (N,) on the columns of ``design`` (N, K) best.

    By Gram-Schmidt, each column made orthogonal to those before it twice over, so that columns that lie
    close together lose no digits. A column that the others make up gets 0.
    """
    count = design.shape[1]
    directions, upper = np.zeros((count, len(design))), np.eye(count)
    for k, column in enumerate(design.T):
        left = column.astype(float)
        for _ in range(2):
            shares = np.einsum("in,n->i", directions[:k], left)
            left = left - np.einsum("i,in->n", shares, directions[:k])
            upper[:k, k] += shares
        length, whole = np.sqrt(inner(left, left)), np.sqrt(inner(column, column))
        if length > 1e-12 * whole:
            directions[k], upper[k, k] = left / length, length
    coefficients = np.einsum("in,n->i", directions, measured)
    for k in reversed(range(count)):
        solved = inner(upper[k, k + 1 :], coefficients[k + 1 :])
        coefficients[k] = (coefficients[k] - solved) / upper[k, k]
    return np.asarray(coefficients)


@cache
def _keeps_its_order() -> bool:
    """Whether the library is one whose rule for sharing products out is known, and adds up in order.

    Tried on one product with rows of zeros and without.
    """
    built = np.show_config(mode="dicts") or {}
    name = str(built.get("Build Dependencies", {}).get("blas", {}).get("name", ""))
    # any numbers with all their digits: no generator, which would take longer to load than to try this
    digits = np.sqrt(np.arange(2.0, 2.0 + (4 * ROWS + 256 + 1) * 45)) % 1.0 - 0.5
    left, blocks = (
        digits[: 4 * ROWS * 45].reshape(-1, 45),
        digits[4 * ROWS * 45 : -45].reshape(45, -1),
    )
    used = digits[-45:] < -0.1
    blocks[~used] = 0.0
    few, whole = np.empty((ROWS, 256)), np.empty((4 * ROWS, 256))
    np.matmul(left, blocks, out=whole)
    np.matmul(left[:ROWS, used], blocks[used], out=few)
    return "openblas" in name and np.array_equal(few, whole[:ROWS])


def blocks_product(correlation: Array, blocks: Array, out: Array) -> None:
    """Write ``correlation @ block`` for many blocks into ``out``.

    An element comes out the same, to the last bit, with rows of zeros in a block and without, and
    whatever the other rows of ``correlation`` are.

    Parameters
    ----------
    correlation : array of shape (M, K)
        M a multiple of ``ROWS``.
    blocks : array of shape (..., K, WIDTH)
    out : array of shape (..., M, WIDTH)
    """
    rows, columns = correlation.shape
    assert rows % ROWS == 0, "the library takes another way for rows that are left over"
    most = NEVER_SHARED // (columns * blocks.shape[-1]) // ROWS * ROWS
    if not most or not _keeps_its_order():
        np.einsum("mk,...kn->...mn", correlation, blocks, out=out)
        return
    for first in range(0, rows, most):
        piece_rows = slice(first, first + most)
        np.matmul(correlation[piece_rows], blocks, out=out[..., piece_rows, :])


def products_of_rows(table: Array) -> Array:
    """Return the products of all rows of a table (M, N) with each other, added up over N, (M, M).

    Piece by piece in the order of the columns, so that many columns take the library's way as well.
    """
    rows, columns = table.shape
    filled = np.zeros((-(-rows // ROWS) * ROWS, columns))
    filled[:rows] = table
    total, part = np.zeros((len(filled), rows)), np.empty((len(filled), rows))
    for first in range(0, columns, PIECE):
        piece = filled[:, first : first + PIECE]
        blocks_product(np.ascontiguousarray(piece), np.ascontiguousarray(piece[:rows].T), part)
        total += part
    return total[:rows]
