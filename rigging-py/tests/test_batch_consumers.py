"""Tables and labelled arrays of other packages give rows and take results unchanged; what carries a unit is refused."""

import numpy as np
import pandas
import pint
import polars
import pyarrow
import pytest
import xarray

from rigging_py import batch

COUNT = 700
POINTS = np.array([[2.6, 1.05, 0.0], [2.6, -1.05, 0.0], [-2.6, -1.05, 0.0], [-2.6, 1.05, 0.0]])
CENTER = np.array([0.45, -0.12, 0.90])


def rows():
    random = np.random.default_rng(11)
    weight = random.uniform(5e4, 2e5, COUNT)
    weight[5::100] = np.nan
    return weight, 6.0 + 0.03 * random.standard_normal((COUNT, 4)), np.full(4, 6.0e6)


def bridle(weight, center, points, lengths, ea):
    return batch.bridle(weight_n=weight, center_m=center, points_m=points, lengths_m=lengths, ea_n=ea)


def solved():
    weight, lengths, ea = rows()
    return bridle(weight, CENTER, POINTS, lengths, ea)


def test_xarray_and_dask():
    weight, lengths, ea = rows()
    inputs = [
        xarray.DataArray(weight, dims="lift", attrs={"units": "N"}).chunk(lift=300),
        xarray.DataArray(CENTER, dims="axis", attrs={"units": "m"}),
        xarray.DataArray(POINTS, dims=("leg", "axis")),
        xarray.DataArray(lengths, dims=("lift", "leg")).chunk(lift=300),
        xarray.DataArray(ea, dims="leg"),
    ]
    found = xarray.apply_ufunc(
        bridle,
        *inputs,
        input_core_dims=[[], ["axis"], ["leg", "axis"], ["leg"], ["leg"]],
        output_core_dims=[["leg"], [], [], []],
        dask="parallelized",
        output_dtypes=[float, float, np.int32, np.int32],
    )
    assert [one.chunks is not None for one in found] == [True] * 4
    assert [one.dims for one in found] == [("lift", "leg"), ("lift",), ("lift",), ("lift",)]
    for one, expected in zip(found, solved(), strict=True):
        assert one.dtype == expected.dtype and one.values.tobytes() == expected.tobytes()


def test_labelled_arrays_go_in_as_they_are():
    weight, lengths, ea = rows()
    labelled = xarray.DataArray(weight, dims="lift", attrs={"units": "N"})
    delayed = xarray.DataArray(lengths, dims=("lift", "leg")).chunk(lift=300)
    found = bridle(labelled, CENTER, POINTS, delayed, ea)
    assert found.tension_n.tobytes() == solved().tension_n.tobytes()
    found = bridle(labelled, CENTER, POINTS, delayed.data, ea)
    assert found.tension_n.tobytes() == solved().tension_n.tobytes()


def test_pandas():
    weight, lengths, ea = rows()
    frame = pandas.DataFrame({"weight": weight, "angle": np.linspace(0.0, 1.0, COUNT)})
    legs = pandas.DataFrame(lengths, columns=list("ABCD"))
    found = bridle(frame["weight"], CENTER, POINTS, legs, ea)
    expected = solved()
    tensions = pandas.DataFrame(found.tension_n, columns=legs.columns, index=frame.index)
    assert tensions.to_numpy().tobytes() == expected.tension_n.tobytes()
    frame["tilt"], frame["status"] = found.tilt_rad, found.status
    assert frame["status"].dtype == np.int32 and frame["tilt"].to_numpy().tobytes() == expected.tilt_rad.tobytes()
    basket = batch.basket_tension(weight_n=frame["weight"], angle_from_vertical_rad=frame["angle"])
    table = pandas.DataFrame(basket._asdict())
    assert list(table.columns) == ["tension_n", "status"]
    assert table["tension_n"].isna().sum() == (table["status"] != 0).sum() == 7
    # A column that is called so is no unit of the others.
    unit = pandas.DataFrame({"unit": [1.0, 2.0]})
    assert batch.basket_tension(weight_n=unit, angle_from_vertical_rad=0.0).tension_n.tolist() == [[0.5], [1.0]]


def test_polars():
    weight, lengths, ea = rows()
    frame = polars.DataFrame({"weight": weight, "angle": np.linspace(0.0, 1.0, COUNT)})
    legs = polars.DataFrame(lengths, schema=list("ABCD"))
    found = bridle(frame["weight"], CENTER, POINTS, legs, ea)
    expected = solved()
    table = polars.DataFrame({"tension": found.tension_n, "tilt": found.tilt_rad, "status": found.status})
    assert table["status"].dtype == polars.Int32 and table["tension"].dtype == polars.Array(polars.Float64, 4)
    assert table["tension"].to_numpy().tobytes() == expected.tension_n.tobytes()
    assert table["tilt"].to_numpy().tobytes() == expected.tilt_rad.tobytes()

    def basket(columns):
        return batch.basket_tension(weight_n=columns[0], angle_from_vertical_rad=columns[1]).tension_n

    one_by_one = frame.select(
        polars.map_batches(
            ["weight", "angle"], lambda columns: polars.Series(basket(columns)), return_dtype=polars.Float64
        )
    )
    whole = polars.DataFrame(
        batch.basket_tension(weight_n=frame["weight"], angle_from_vertical_rad=frame["angle"])._asdict()
    )
    assert one_by_one.to_series().to_numpy().tobytes() == whole["tension_n"].to_numpy().tobytes()
    # What is not there is not known.
    assert batch.basket_tension(weight_n=polars.Series([1.0, None]), angle_from_vertical_rad=0.0).status.tolist() == [0, 1]


def test_arrow():
    weight, lengths, ea = rows()
    found = bridle(pyarrow.array(weight), CENTER, POINTS, lengths, pyarrow.array(ea))
    expected = solved()
    assert found.tension_n.tobytes() == expected.tension_n.tobytes()
    tensions = pyarrow.FixedSizeListArray.from_arrays(pyarrow.array(found.tension_n.reshape(-1)), 4)
    table = pyarrow.table({"tension": tensions, "tilt": found.tilt_rad, "status": found.status})
    assert table.schema.field("status").type == pyarrow.int32() and table.num_rows == COUNT
    flat = table["tension"].combine_chunks().flatten().to_numpy(zero_copy_only=False)
    assert flat.tobytes() == expected.tension_n.tobytes()
    chunked = pyarrow.chunked_array([weight[:10], weight[10:]])
    whole = batch.basket_tension(weight_n=chunked, angle_from_vertical_rad=0.5)
    assert whole.tension_n.tobytes() == batch.basket_tension(weight_n=weight, angle_from_vertical_rad=0.5)[0].tobytes()
    missing = batch.basket_tension(weight_n=pyarrow.array([1.0, None]), angle_from_vertical_rad=0.0)
    assert missing.status.tolist() == [0, 1]


class WithUnit(np.ndarray):
    """An array with a unit, as packages for quantities make them."""

    unit = "kN"


class WithUnits(np.ndarray):
    """Another way to call it."""

    @property
    def units(self):
        return "kN"


class Lone:
    """A scalar with a unit that turns into a number when asked."""

    def __init__(self):
        self.units = "kN"

    def __float__(self):
        return 3.0

    def __array__(self, dtype=None, copy=None):
        return np.array(3.0)


QUANTITY = pint.UnitRegistry().Quantity
WITH_UNITS = {
    "pint, one": lambda: QUANTITY(3.0, "kN"),
    "pint, in newtons": lambda: QUANTITY(3.0, "N"),
    "pint, without dimension": lambda: QUANTITY(3.0, ""),
    "pint, several": lambda: QUANTITY(np.array([1.0, 2.0]), "kN"),
    "pint, in a list": lambda: [QUANTITY(1.0, "kN"), QUANTITY(2.0, "kN")],
    "pint, deep in a list": lambda: [[1.0], (QUANTITY(2.0, "kN"),)],
    "pint, in a labelled array": lambda: xarray.DataArray(QUANTITY(np.array([1.0]), "kN")),
    "an array with a unit": lambda: np.ones(2).view(WithUnit),
    "an array with units": lambda: np.ones(2).view(WithUnits),
    "such arrays in a list": lambda: [np.ones(2).view(WithUnits)],
    "a scalar with units": Lone,
    "such a scalar in a list": lambda: [Lone()],
    "a labelled array in kilonewtons": lambda: xarray.DataArray([1.0], attrs={"units": "kN"}),
    "a labelled array in a list": lambda: [xarray.DataArray(1.0, attrs={"unit": "kN"})],
    "a series in kilonewtons": lambda: kilonewtons(),
}


def kilonewtons():
    series = pandas.Series([1.0, 2.0])
    series.attrs["units"] = "kN"
    return series


@pytest.mark.parametrize("value", WITH_UNITS.values(), ids=WITH_UNITS)
def test_a_unit_is_never_stripped(value):
    for call in (
        lambda: batch.basket_tension(weight_n=value(), angle_from_vertical_rad=0.0),
        lambda: batch.bridle(
            weight_n=value(), center_m=CENTER, points_m=POINTS, lengths_m=np.full(4, 6.0), ea_n=np.full(4, 6e6)
        ),
    ):
        with pytest.raises(TypeError, match="^weight_n: plain numbers in N are needed"):
            call()


def test_masks_are_refused_wherever_they_stand():
    masked = np.ma.array([1.0, 2.0], mask=[False, True])
    for value in (masked, [masked], xarray.DataArray([1.0, np.nan]).to_masked_array()):
        with pytest.raises(TypeError, match="^weight_n: a masked array"):
            batch.basket_tension(weight_n=value, angle_from_vertical_rad=0.0)
