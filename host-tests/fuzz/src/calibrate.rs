//! Readings of sticks, through the guided sequence to a recommendation.

use handback::calibrate::{Bounds, Calibration, LearntAxis, Prompt, RestMeter, SEQUENCE, Target};
use handback::{AxisRule, AxisSet, Channels, CheckedPolicy, Deflection, Frame, Micros, Policy, Pulse};

use crate::bytes::Bytes;

const AXES: usize = 2;

/// No input needs more frames.
const MOST_FRAMES: u32 = 6_000;

/// What must hold: nothing panics, the sequence only goes forward, a result exists exactly when it is done, and a
/// recommendation is within its bounds and passes the check of a policy.
pub fn run(bytes: &[u8]) {
    let mut bytes = Bytes::new(bytes);
    if bytes.flag() { rest(&mut bytes) } else { guided(&mut bytes) }
}

fn target(bytes: &mut Bytes<'_>) -> Target {
    let mut target = Target::new(handback::Duration::from_ticks(1_000 + u32::from(bytes.two())));
    let changed = bytes.byte();
    if changed & 1 != 0 {
        target.apart = bytes.four();
    }
    if changed & 2 != 0 {
        // Up to full travel: a policy refuses thresholds that no stick reaches.
        let [least, aim, most] = [0; 3].map(|_| Deflection::from_bits((bytes.two() & 0x3FFF).cast_signed()));
        target.sprung = Bounds { least, aim, most };
    }
    target
}

/// A source of readings: a place, a noise of some width, and now and then a jump.
struct Stick {
    at: u16,
    width: u16,
    coarse: u16,
    state: u32,
}

impl Stick {
    fn new(bytes: &mut Bytes<'_>) -> Self {
        let width = u16::from(bytes.byte()).pow(2) / 64;
        Self { at: 24_000, width, coarse: 1 << bytes.below(8), state: bytes.four() | 1 }
    }

    fn reads(&mut self) -> Pulse {
        // The generator of Numerical Recipes, 2nd edition, section 7.1 ("quick and dirty"); its upper bits.
        self.state = self.state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let noise = u16::try_from((u64::from(self.state) * u64::from(self.width)) >> 32).expect("16 bits");
        Pulse::from_bits(self.at.wrapping_add(noise) / self.coarse * self.coarse)
    }
}

/// One axis at rest: each input byte is some frames.
fn rest(bytes: &mut Bytes<'_>) {
    let (target, mut stick, mut meter) = (target(bytes), Stick::new(bytes), RestMeter::new());
    let mut frames = 0;
    while !bytes.is_empty() && frames < MOST_FRAMES {
        let what = bytes.byte();
        let count = match what >> 6 {
            0 => {
                meter.take(bytes.two());
                0
            }
            1 => {
                stick.at = stick.at.wrapping_add_signed(i16::from(what & 63) - 32);
                1
            }
            2 => u32::from(what & 63),
            _ => u32::from(what & 63) * 16,
        };
        for _ in 0..count {
            meter.take(stick.reads().to_bits());
        }
        frames += count + 1;
    }
    let Some(noise) = meter.noise() else { return };
    assert_eq!(noise.frames, meter.frames());
    let learnt = handback::calibrate::Learnt { axes: [LearntAxis::<Micros>::at_rest(noise, true)] };
    recommended(&learnt, &target);
}

/// Two sticks through the sequence: the pilot does as asked, or whatever the bytes say.
fn guided(bytes: &mut Bytes<'_>) {
    let target = target(bytes);
    let mut sticks = [Stick::new(bytes), Stick::new(bytes)];
    let mut calibration =
        Calibration::<Micros, AXES>::new(AxisSet::from_bits(bytes.two()), 128 + u32::from(bytes.two()) % 1_024);
    let (mut frames, mut place) = (0, 0);
    while calibration.step() != Prompt::Done && frames < MOST_FRAMES && !(bytes.is_empty() && frames > 3_000) {
        let what = if frames % 64 == 0 || !bytes.is_empty() && frames % 16 == 0 { bytes.byte() } else { 0 };
        for (stick, side) in sticks.iter_mut().zip([1, -1]) {
            match what {
                // As asked.
                0..=127 => {
                    let sweep = i32::try_from(frames % 64).expect("small") * 500 - 16_000;
                    let by = match calibration.step() {
                        Prompt::HandsOff | Prompt::LetGo | Prompt::Done => 0,
                        Prompt::TopRight => 8_000,
                        Prompt::BottomLeft => -8_000,
                        Prompt::Stir => sweep.abs() - 8_000,
                    };
                    stick.at = u16::try_from(24_000 + side * by).expect("a pulse");
                }
                128..=159 => stick.at = stick.at.wrapping_add_signed(i16::from(what & 31) * 40 - 620),
                160..=191 => stick.at = u16::from(what & 31) * 2_114,
                192..=223 => stick.width = u16::from(what & 31) * 8,
                _ => stick.at = bytes.two(),
            }
        }
        let readings = sticks.each_mut().map(Stick::reads);
        let progress = calibration.take(&readings);
        let on = SEQUENCE[place..].iter().chain([&Prompt::Done]).position(|step| *step == progress.step);
        place += on.expect("the sequence goes forward");
        assert_eq!(calibration.learnt().is_some(), calibration.step() == Prompt::Done);
        frames += 1;
    }
    if let Some(learnt) = calibration.learnt() {
        recommended(&learnt, &target);
    }
}

fn recommended<const N: usize>(learnt: &handback::calibrate::Learnt<Micros, N>, target: &Target) {
    let mut number = 0;
    let channels = learnt.axes.map(|axis| {
        number += 1;
        axis.channel(number - 1)
    });
    let channels = Channels::<Micros, N, N>::new(channels);
    let recommended = match learnt.recommend(&channels, AxisSet::first(N), target) {
        Ok(recommended) => recommended,
        Err(why) => {
            assert!(usize::from(why.axis()) < N && !why.to_string().is_empty());
            return;
        }
    };
    for (advice, axis) in recommended.axes.iter().zip(&learnt.axes) {
        let advice = advice.expect("every axis is watched");
        let bounds = if axis.sprung { target.sprung } else { target.unsprung };
        assert!(advice.engage <= bounds.most.max(bounds.least) && (1..=3).contains(&advice.confirm), "{advice:?}");
        assert!(advice.release >= Deflection::CENTRE && advice.release < advice.engage, "{advice:?}");
    }
    let Ok(checked) = channels.check() else { return };
    let rests = checked.frame(&learnt.centres());
    let policy: Result<CheckedPolicy<N>, _> = recommended.apply(Policy::new([AxisRule::sprung(); N]), &rests).check();
    let is_plausible = |frame: &Frame<N>| frame.axes().iter().all(|at| at.to_bits().unsigned_abs() <= 24_576);
    if is_plausible(&rests) {
        policy.unwrap_or_else(|why| panic!("the recommended policy does not pass: {why}"));
    }
}
