"""A study as it is for one place: diode detectors settled anew for it."""

from dataclasses import replace

import numpy as np

from core.analysis.breakdown import Point
from core.analysis.nodal import Nodal
from core.analysis.passing import with_coins, with_trains
from core.analysis.study import Study
from core.analysis.system import fill_pattern


def study_at(study: Study, point: Point) -> Study:
    """Return the study as it is with the test train, or a short, at a point.

    The same study where no detector does anything else there than its equations
    say; figures at other places are not those of the answer.
    """
    passing, i, t = study.passing, point.segment, point.t
    if passing is None or not study.scan.fed[i]:
        return study
    trains, coins = passing.trains, passing.coins
    train = passing.with_train(i, t, study.scan.train_a, trains.at(i))
    coin = passing.with_coin(i, t, coins.at(i))
    same_train, same_coin = train.same(trains.at(i)), coin.same(coins.at(i))
    scan, here = study.scan, np.array([i])
    if not same_train:
        trains = trains.put(i, train)
        scan = with_trains(passing, scan, trains, here)
    if not same_coin:
        coins = coins.put(i, coin)
        scan = with_coins(passing, scan, coins, here)
    if same_train and same_coin and train.same(passing.onset):
        return study
    found = replace(
        study,
        scan=scan,
        passing=replace(passing, trains=trains, coins=coins),
        find_duties=lambda: study.duties,
    )
    if train.same(passing.onset):
        return found
    # The equations as the train has them; the standing loads' own part of it.
    system = passing.diodes.hold(train)
    filled = fill_pattern(system, study.pattern, 1.0 / system.ohm[:, None])
    return replace(
        found,
        system=system,
        factor=study.pattern.factor(filled),
        standing=Nodal(system).solve(study.drawn.injection),
    )
