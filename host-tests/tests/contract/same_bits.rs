//! N2: the same calls give the same bits on every target.

use handback::{AxisRule, AxisSet, CheckedPolicy, Deflection, Frame, Inputs, Instant, Policy, Rest, Scope};
use handback_host_tests::{Twin, points, units, with};

/// A small random generator, the same on every target (Marsaglia, 'Xorshift RNGs', Journal of Statistical Software 8
/// (2003), 32 bits).
struct Dice(u32);

impl Dice {
    fn roll(&mut self) -> u32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 17;
        self.0 ^= self.0 << 5;
        self.0
    }

    fn once_in(&mut self, n: u32) -> bool {
        self.roll().is_multiple_of(n)
    }

    /// Any deflection within nominal travel.
    fn stick(&mut self) -> Deflection {
        units(i16::try_from(self.roll() % 32768).expect("below 2^15") - 16384)
    }

    /// One of four sticks.
    fn pick<'a>(&mut self, sticks: &'a mut [Deflection; 4]) -> &'a mut Deflection {
        let [a, b, c, d] = sticks;
        match self.roll() % 4 {
            0 => a,
            1 => b,
            2 => c,
            _ => d,
        }
    }
}

/// Scope `Axis`: two sprung axes, a throttle that rests where it was left, and an unsprung axis with a fixed rest.
fn mixed() -> CheckedPolicy<4> {
    let throttle = with!(AxisRule::unsprung(points(-100)), keep: false);
    let parked = with!(throttle, rest: Rest::At(units(0)));
    let axes = [AxisRule::sprung(), AxisRule::sprung(), throttle, parked];
    with!(Policy::new(axes), scope: Scope::Axis).check().expect("a legal policy")
}

/// Flies 20,000 random steps. Returns the 64-bit FNV-1a hash of the output, the student's set, the held and the waiting
/// axes of every step, and the number of changes of the pilot.
fn digest() -> (u64, usize) {
    let policy = mixed();
    let mut twin = Twin::new(&policy);
    let (mut dice, mut now, mut hash, mut events) = (Dice(2026), 0u32, 0xcbf2_9ce4_8422_2325_u64, 0);
    let (mut instructor, mut student, mut switch) = ([units(0); 4], [units(0); 4], false);
    for _ in 0..20_000 {
        now = now.wrapping_add(if dice.once_in(500) { dice.roll() % 2_000_000 } else { 20_000 });
        if dice.once_in(40) {
            let at = if dice.once_in(3) { dice.stick() } else { units(0) };
            *dice.pick(&mut instructor) = at;
        }
        let at = dice.stick();
        *dice.pick(&mut student) = at;
        switch ^= dice.once_in(if switch { 300 } else { 5 });
        let frames = (Frame::new(instructor), Frame::new(student));
        let inputs = Inputs {
            instructor: (!dice.once_in(10)).then_some(&frames.0),
            student: (!dice.once_in(10)).then_some(&frames.1),
            lesson_switch: switch,
            instructor_now: dice.once_in(2000),
        };
        let outcome = twin.step(Instant::from_ticks(now), inputs);
        events += usize::from(outcome.event.is_some());
        let axes = outcome.output.axes().iter().flat_map(|axis| axis.to_bits().to_le_bytes());
        let sets = [outcome.pilot.student(), outcome.held, outcome.pickup];
        for byte in axes.chain(sets.map(AxisSet::to_bits).into_iter().flat_map(u16::to_le_bytes)) {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
    (hash, events)
}

/// Given the same calls, when they are made on any target in any build, then they give the same bits.
/// Rules: N2
#[test]
fn the_same_calls_give_the_same_bits_on_every_target() {
    // Measured on x86-64. Every target and every build that runs this test must give this number.
    const DIGEST: u64 = 0xe0fe_1d44_cc28_1c59;
    let (hash, events) = digest();
    assert!(events > 100, "something happened: {events} changes of who flies");
    assert_eq!(digest(), (hash, events), "a second time");
    assert_eq!(hash, DIGEST, "it is {hash:#018x}: unless a rule of the contract changed, the bits must not");
}
