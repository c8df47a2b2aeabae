//! The sticks of one moment.

use super::{AxisSet, Deflection, WideSet};

/// The deflections of all `N` axes at one moment, `N` from 1 to 16.
///
/// ```
/// use handback::{Deflection, Frame};
/// let frame = Frame::new([Deflection::CENTRE, Deflection::from_points(-100)]);
/// assert_eq!(frame.get(1), Some(Deflection::from_points(-100)));
/// assert_eq!(frame.get(2), None);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[repr(align(4))] // so that the smallest processors copy two axes at a time, too
pub struct Frame<const N: usize>(
    #[cfg_attr(feature = "serde", serde(with = "crate::quantity::array"))] [Deflection; N],
);

impl<const N: usize> Frame<N> {
    /// Every axis at its centre.
    pub const CENTRE: Self = Self([Deflection::CENTRE; N]);

    /// A frame of these deflections, axis 0 first.
    pub const fn new(axes: [Deflection; N]) -> Self {
        Self(axes)
    }

    /// The deflections, axis 0 first.
    pub const fn axes(&self) -> &[Deflection; N] {
        &self.0
    }

    /// The deflections for writing, axis 0 first.
    pub const fn axes_mut(&mut self) -> &mut [Deflection; N] {
        &mut self.0
    }

    /// Whether every axis is within ±`limit`.
    #[inline]
    pub(crate) fn within(&self, limit: Deflection) -> bool {
        self.0.iter().all(|x| x.is_within(limit.to_bits().cast_unsigned(), Deflection::CENTRE))
    }

    /// Whether at least one of these axes differs.
    pub(crate) fn differs(&self, axes: AxisSet, other: &Self) -> bool {
        let (axes, mut this) = (axes.wide(), WideSet::FIRST);
        self.0.iter().zip(&other.0).any(|(x, other)| {
            let differs = x != other && axes.meets(this);
            this = this.next();
            differs
        })
    }

    /// The axes that are beyond ±`limit`.
    #[cold]
    #[inline(never)]
    pub(crate) fn beyond(&self, limit: Deflection) -> AxisSet {
        let (mut beyond, mut axis) = (WideSet::EMPTY, WideSet::FIRST);
        for x in &self.0 {
            if !x.is_within(limit.to_bits().cast_unsigned(), Deflection::CENTRE) {
                beyond = beyond.with(axis);
            }
            axis = axis.next();
        }
        beyond.narrow()
    }

    /// Takes these axes from another frame.
    #[inline]
    pub(crate) fn take(&mut self, axes: AxisSet, other: &Self) {
        if AxisSet::first(N).is_subset_of(axes) {
            *self = *other;
        } else if !axes.is_empty() {
            let (axes, mut this) = (axes.wide(), WideSet::FIRST);
            for (x, other) in self.0.iter_mut().zip(&other.0) {
                if axes.meets(this) {
                    *x = *other;
                }
                this = this.next();
            }
        }
    }

    /// The deflection of one axis, `None` past the last.
    pub fn get(&self, axis: u8) -> Option<Deflection> {
        self.0.get(usize::from(axis)).copied()
    }

    /// The axes whose value is [`Deflection::OUT_OF_RANGE`], for a lamp or a log.
    ///
    /// ```
    /// use handback::{AxisSet, Channels, Pulse};
    /// let channels = Channels::<_, 2, 2>::pulses().check()?;
    /// let frame = channels.frame(&[Pulse::from_micros(1500), Pulse::from_micros(0)]);
    /// assert_eq!(frame.out_of_range(), AxisSet::of(&[1]));
    /// # Ok::<(), handback::ChannelError<handback::Micros>>(())
    /// ```
    pub fn out_of_range(&self) -> AxisSet {
        let axes = (0..).zip(self.axes());
        axes.fold(AxisSet::EMPTY, |set, (axis, &at)| set.with_if(axis, at == Deflection::OUT_OF_RANGE))
    }
}
