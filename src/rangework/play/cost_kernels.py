"""A shot in the air of a hole, and what it is expected to cost.

What nothing is changed for (``hole.air.neutral``) has functions of its own: the compiler may order sums as it likes,
and so keeps the calm numbers as they were, to the last bit, only where nothing else is near.
"""

from __future__ import annotations

from rangework.compiled import kernel_with, uncounted, uncounted_call
from rangework.play.air_kernels import calm_shot, driver_of, longest_in_air, widened
from rangework.play.flight_kernels import aim_line, land_points, shot_row, sum_costs
from rangework.play.kernel_arrays import LIE_RECOVERY, POOR_LENGTH, POOR_SPREAD, WALK_BELOW_M


@kernel_with(inline="always")
def struck(hole, player, row, height, sx, sy, ux, uy, target):
    """How a shot aimed ``target`` far is played in the air of the hole.

    Returns the mean total of a solid ball before the golfer's bias; then the columns of the skill table and the places
    that a solid and a poor ball seem to start from: what the air carries them on is added to where they do.
    """
    played, middle, on_x, on_y, unsure_along, unsure_across = calm_shot(
        hole, driver_of(player), sy, ux, uy, target
    )
    depth, direction, bias_depth, bias, poor, carry = shot_row(player, row, height, played)
    stretch = hole.air.stretch
    depth, direction = widened(depth, direction, stretch, target, unsure_along, unsure_across)
    from_x, from_y = sx + on_x, sy + on_y
    poor_x, poor_y = sx + POOR_LENGTH * on_x, sy + POOR_LENGTH * on_y
    return middle, (
        depth, direction, bias_depth * stretch, bias, poor, carry, from_x, from_y, poor_x, poor_y,
    )  # fmt: skip


@uncounted_call
def struck_here(hole, player, row, height, sx, sy, ux, uy, target):
    """``struck`` in any air: where nothing is changed, a ball starts from where it lies."""
    if not hole.air.neutral:
        return struck(hole, player, row, height, sx, sy, ux, uy, target)
    depth, direction, bias_depth, bias, poor, carry = shot_row(player, row, height, target)
    return target, (depth, direction, bias_depth, bias, poor, carry, sx, sy, sx, sy)


@uncounted_call
def longest_toward(hole, player, reach, sx, sy, tx, ty):
    """The longest target from a place towards another one."""
    return longest_in_air(hole, driver_of(player), player.longest[reach], sx, sy, tx, ty)


@uncounted
def sums_when_struck(hole, cost, player, points, which, row, sx, sy, ux, uy, target, middle, numbers, work):
    """Summed cost and number to replay of solid balls, then of poor ones; none of these for a recovery.

    The shot is from (sx, sy), aimed ``target`` far, and its solid balls come ``middle`` far in calm. ``numbers``: the
    columns of the skill table, and the places that a solid and a poor ball seem to start from.
    """
    depth, direction, bias_depth, bias, _, carry, from_x, from_y, poor_x, poor_y = numbers
    walks = target < WALK_BELOW_M
    rho = player.correlation
    n = points.solid.shape[2]
    shot = (middle + bias_depth, depth, bias, direction, rho, carry, walks)
    land_points(hole, points.solid[which], 1.0, shot, from_x, from_y, ux, uy, work)
    total, replayed = sum_costs(hole, cost, player, n, sx, sy, work)
    if row == LIE_RECOVERY:
        return total, replayed, 0.0, 0.0
    n = points.poor.shape[2]
    shot = (POOR_LENGTH * middle, depth, bias, direction, rho, carry, walks)
    land_points(hole, points.poor[which], POOR_SPREAD, shot, poor_x, poor_y, ux, uy, work)
    bad_total, bad_replayed = sum_costs(hole, cost, player, n, sx, sy, work)
    return total, replayed, bad_total, bad_replayed


@kernel_with(inline="always")
def weighed(points, row, poor, sums):
    """Expected strokes of a shot that is a poor strike with chance ``poor``; ``sums`` as of ``sums_when_struck``.

    A stroke that is replayed from where it was played adds the same expectation again, which is solved for;
    so does a failed recovery, without the penalty.
    """
    total, replayed, bad_total, bad_replayed = sums
    n = points.solid.shape[2]
    total *= (1.0 - poor) / n
    replayed *= (1.0 - poor) / n
    if row == LIE_RECOVERY:
        return (1.0 + total + replayed) / (1.0 - min(replayed + poor, 0.95))
    n = points.poor.shape[2]
    total += bad_total * poor / n
    replayed = min(replayed + bad_replayed * poor / n, 0.95)
    return (1.0 + total + replayed) / (1.0 - replayed)


@uncounted
def cost_when_struck(hole, cost, player, points, which, row, sx, sy, ux, uy, target, middle, numbers, work):
    """Expected strokes of a shot; arguments as of ``sums_when_struck``."""
    sums = sums_when_struck(
        hole, cost, player, points, which, row, sx, sy, ux, uy, target, middle, numbers, work
    )
    return weighed(points, row, numbers[4], sums)


@uncounted_call
def calm_cost(hole, cost, player, points, which, row, reach, sx, sy, tx, ty, height, work):
    """``expected_cost`` where nothing is changed: a function of its own, so that its sums stay as they are."""
    ux, uy, target = aim_line(hole, row, sx, sy, tx, ty, player.longest[reach])
    depth, direction, bias_depth, bias, poor, carry = shot_row(player, row, height, target)
    numbers = (depth, direction, bias_depth, bias, poor, carry, sx, sy, sx, sy)
    return cost_when_struck(
        hole, cost, player, points, which, row, sx, sy, ux, uy, target, target, numbers, work
    )


@uncounted_call
def cost_in_air(hole, cost, player, points, which, row, reach, sx, sy, tx, ty, height, work):
    """``expected_cost`` in wind, thin air or on a slope."""
    longest = longest_toward(hole, player, reach, sx, sy, tx, ty)
    ux, uy, target = aim_line(hole, row, sx, sy, tx, ty, longest)
    middle, numbers = struck(hole, player, row, height, sx, sy, ux, uy, target)
    return cost_when_struck(
        hole, cost, player, points, which, row, sx, sy, ux, uy, target, middle, numbers, work
    )


@uncounted_call
def expected_cost(hole, cost, player, points, which, row, reach, sx, sy, tx, ty, height, work):
    """Expected strokes to hole out by aiming at (tx, ty), this stroke included, over set ``which``."""
    if hole.air.neutral:
        return calm_cost(hole, cost, player, points, which, row, reach, sx, sy, tx, ty, height, work)
    return cost_in_air(hole, cost, player, points, which, row, reach, sx, sy, tx, ty, height, work)
