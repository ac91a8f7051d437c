"""Drawings: they show the solved pose, return the Axes they drew on, and never show a figure."""

import matplotlib

matplotlib.use("agg")

import matplotlib.pyplot as plt
import numpy as np
import pytest

from rigging_py import Length, Lift, plot


@pytest.fixture(autouse=True)
def no_figure_is_shown_or_left(monkeypatch):
    monkeypatch.setattr(plt, "show", lambda *_: pytest.fail("a helper showed its figure"))
    yield
    plt.close("all")


def lines(ax):
    """Ends of the drawn legs, by label-free black lines of two points."""
    drawn = (line for line in ax.lines if line.get_linewidth() == 1.5 and line.get_linestyle() != "None")
    return [np.array(line.get_data()).T for line in drawn if len(line.get_xdata()) == 2]


def test_the_given_axes_are_drawn_on(skid):
    ax = plt.figure().add_subplot()
    certificate = skid.solve()
    assert plot.elevation(certificate, ax=ax) is ax
    assert plot.plan(certificate, ax=ax) is ax
    own = plot.plan(certificate)
    assert own is not ax and own.figure is not ax.figure


def test_the_legs_have_their_solved_lengths_and_directions(skid):
    certificate = skid.solve()
    views = {
        (0, 2): plot.elevation(certificate, across="x"),
        (1, 2): plot.elevation(certificate, across="y"),
        (0, 1): plot.plan(certificate),
    }
    for kept, ax in views.items():
        drawn = lines(ax)
        assert len(drawn) == 4
        # The certificate gives direction and length of each leg; the drawing turned the lift points itself.
        for (hook, point), direction, length in zip(drawn, certificate.directions, certificate.lengths_m, strict=True):
            expected = np.array(direction)[list(kept)] * length
            assert np.abs(hook - point - expected).max() < 1e-9


@pytest.mark.parametrize("name", ["vessel-two-cranes", "panel-spreader", "frame-tall-item"])
def test_legs_between_hooks_spreaders_and_load_have_their_solved_lengths(name):
    # Off center and on unequal slings, so that nothing is where it was drawn.
    changes = {"/load/center_of_gravity/position/0": "0.30 m", "/slings/0/length/value": "2.20 m"}
    lift = Lift.demo(name)
    certificate = lift.with_(changes if name == "frame-tall-item" else {"/slings/0/length/value": "8.99 m"}).solve()
    if name == "frame-tall-item":
        assert certificate.poses[0]["tilt_deg"] != certificate.poses[1]["tilt_deg"]
    for kept, ax in {(0, 2): plot.elevation(certificate, across="x"), (0, 1): plot.plan(certificate)}.items():
        drawn = lines(ax)
        assert len(drawn) == len(certificate.legs)
        for (first, last), direction, length in zip(drawn, certificate.directions, certificate.lengths_m, strict=True):
            assert np.abs(first - last - np.array(direction)[list(kept)] * length).max() < 1e-9


def test_the_figures_stand_beside_the_legs(skid):
    ax = plot.plan(skid.solve())
    assert {text.get_text() for text in ax.texts} == {"leg A 54.2 kN", "leg B 69.1 kN", "leg C 47.6 kN", "leg D 32.6 kN"}
    merged = plot.elevation(skid.solve(), across="x")
    assert {text.get_text() for text in merged.texts} == {"leg A 54.2 kN\nleg B 69.1 kN", "leg C 47.6 kN\nleg D 32.6 kN"}


def test_a_slack_leg_is_said_to_be_slack(skid):
    # A long sling at A: the load leans on B and D, and C across from A goes slack.
    slack = skid.with_({"/slings/0/length/value": Length("6.2 m")}).solve()
    assert slack.slack == (False, False, True, False)
    assert "leg C slack" in {text.get_text() for text in plot.plan(slack).texts}


def test_another_view_is_refused(skid):
    with pytest.raises(ValueError, match="^across: "):
        plot.elevation(skid.solve(), across="z")
