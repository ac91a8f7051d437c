//! Figures in the units a reader expects. Rounding is for display; no verdict is drawn from a printed figure.

/// An SI value with the unit it is shown in.
pub(super) fn shown(value: f64, unit: &str) -> String {
    match unit {
        "N" => format!("{:.2} kN", value / 1e3),
        "kg" => format!("{value:.1} kg"),
        "rad" => format!("{:.2} deg", value.to_degrees()),
        "m" if value.abs() < 1.0 => format!("{:.1} mm", value * 1e3),
        "m" => format!("{value:.3} m"),
        "K" => format!("{:.1} degC", value - 273.15),
        "" => factor(value),
        other => format!("{value} {other}"),
    }
}

/// A pure number, to four significant decimals, without trailing zeros.
fn factor(value: f64) -> String {
    let text = format!("{value:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Utilization to three decimals, rounded up, so that what is over 1 never prints as 1.
pub fn utilization(value: f64) -> String {
    // A double that is 0.881 in print must not become 0.882 for its last bit.
    // The sum takes the sign from a zero.
    let thousandths = (value * 1e3 - 1e-9).ceil() / 1e3 + 0.0;
    format!("{thousandths:.3}")
}

/// A tolerance in whole millimeters, rounded down: what is printed still holds.
pub(super) fn millimeters_down(meters: f64) -> String {
    format!("{} mm", (meters * 1e3).floor())
}

/// A capacity as a mass under standard gravity, in tonnes to the hundredth, rounded up: what is printed suffices.
pub(super) fn tonnes_up(newtons: f64) -> String {
    let gravity = crate::quantity::STANDARD_GRAVITY.si();
    let hundredths = (newtons / gravity / 10.0 - 1e-9).ceil();
    format!("{:.2} t", hundredths / 100.0)
}
