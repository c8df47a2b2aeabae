//! Deflections, readings, sets of axes.

use handback::{AxisSet, Count, Deflection, Pilot, Pulse};

use crate::{any, used};

pub(crate) fn call() {
    let deflection = Deflection::from_bits(any(0));
    used(deflection.to_bits());
    used(Deflection::from_points(any(0)));
    used(Deflection::from_centipoints(any(0)));
    used(deflection.saturating_sub(any(deflection)));
    used((i16::from(any(deflection)), Deflection::from(any(0_i16))));

    used((Pulse::from_micros(any(0)), Count::from_bits(any(0)).to_bits()));
    used(any(Pulse::MIN).to_micros());

    let set = AxisSet::from_bits(any(0));
    used((set.to_bits(), set.is_empty(), set.len(), set.lowest()));
    used((AxisSet::first(any(0)), AxisSet::of(any(&[0]))));
    used((set.with(any(0)), set.without(any(0)), set.contains(any(0))));
    used((set.except(any(set)), set.is_subset_of(any(set)), set.meets(any(set)), set & any(set), set | any(set)));
    set.iter().for_each(used);
    used(any(Pilot::with_student(any(set))).student());
}
