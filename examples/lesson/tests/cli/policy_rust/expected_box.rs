// The plan of a trainer box, printed by `lesson policy --rust`. Save it as a module of its own, such as plan.rs: it has
// its own `use`. The compiler checks it once more; that it passes its check does not make it right for a craft.
// CAUTION: what is computed is no promise. First set and test the receiver's failsafe, range check,
// propellers off on the bench, craft held down, bystanders clear, instructor present. The radio's
// manual, the band's rules, local rules, club rules and your instructor's word come first.

#[allow(unused_imports)]
use handback::cue::{CueRules, Phrase, Rhythm};
use handback::ppm::{DecoderSetup, EncoderSetup, Level};
use handback::{AxisRule, AxisSet, Channel, Channels, Deflection, Duration, Policy, Pulse, Rest, Scope, Transfer};
use trainer_box::{AxisName, CheckedPlan, Plan};

/// The plan, checked when it is compiled. Behind each field of the policy are the rules that it belongs to, of
/// core/CONTRACT.md.
pub static PLAN: CheckedPlan<2, 16, 16> = handback::checked!({
    let mut policy = Policy::new([
        AxisRule::sprung(), // roll
        AxisRule::unsprung(Deflection::from_points(-100)), // throttle
    ]);
    policy.scope = Scope::Craft; // T5
    policy.watched = AxisSet::of(&[0, 1]); // T1
    policy.shared = AxisSet::of(&[0]); // H1, H5
    policy.plausible = Deflection::from_points(150); // T4
    policy.settle = Duration::from_millis(30); // S2, S3
    policy.dwell = Duration::from_millis(250); // H1
    policy.fade = Duration::from_millis(200); // H4
    policy.pickup_max = Duration::from_millis(2000); // T6
    policy.timeout = Duration::from_millis(150); // L1, I1
    policy.requalify = Duration::from_millis(1000); // L2
    policy.frozen_after = None; // L4
    policy.failsafe_after = Duration::from_millis(1000); // I2
    policy.late_step = Duration::from_millis(250); // K1
    policy.off_first_after_loss = true; // S2
    policy.latches.lasted = None; // H2
    policy.latches.beyond = None; // H2

    // 0: roll
    policy.axes[0].engage = Deflection::from_points(2); // T1
    policy.axes[0].release = Deflection::from_points(1); // T3, R2
    policy.axes[0].confirm = 1; // T1
    policy.axes[0].rest = Rest::At(Deflection::from_points(0)); // R1, R2
    policy.axes[0].transfer = Transfer::Snap; // T6
    policy.axes[0].keep = false; // H2
    policy.axes[0].window = None; // H3
    policy.axes[0].failsafe = Deflection::from_points(0); // I2

    // 1: throttle
    policy.axes[1].engage = Deflection::from_points(8); // T1
    policy.axes[1].release = Deflection::from_points(4); // T3, R2
    policy.axes[1].confirm = 1; // T1
    policy.axes[1].rest = Rest::WhereLeft { still: Duration::from_millis(500) }; // R1, R2
    policy.axes[1].transfer = Transfer::Pickup; // T6
    policy.axes[1].keep = true; // H2
    policy.axes[1].window = None; // H3
    policy.axes[1].failsafe = Deflection::from_points(-100); // I2

    let mut plan = Plan {
        names: AxisName::all(["roll", "throttle"]),
        policy,
        instructor: Channels { axes: [None; 2] },
        student: Channels { axes: [None; 2] },
        craft: Channels { axes: [None; 2] },
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::High),
        craft_train: EncoderSetup::new(Level::High),
        cues: CueRules::new(),
    };
    plan.instructor_train.channels = Some(9);
    plan.instructor_train.separators = Level::High;
    plan.instructor_train.jitter = Duration::from_micros(6);
    plan.instructor_train.narrowest = Duration::from_micros(200);
    plan.instructor_train.widest = Duration::from_micros(500);
    plan.instructor_train.shortest = Pulse::from_micros(700);
    plan.instructor_train.longest = Pulse::from_micros(2300);
    plan.instructor_train.gap = Duration::from_micros(2500);
    plan.instructor_train.silence = Duration::from_millis(50);

    plan.student_train.channels = Some(6);
    plan.student_train.separators = Level::Low;
    plan.student_train.jitter = Duration::from_micros(20);
    plan.student_train.narrowest = Duration::from_micros(200);
    plan.student_train.widest = Duration::from_micros(500);
    plan.student_train.shortest = Pulse::from_micros(700);
    plan.student_train.longest = Pulse::from_micros(2300);
    plan.student_train.gap = Duration::from_micros(2500);
    plan.student_train.silence = Duration::from_micros(60500);

    plan.craft_train.channels = Some(8);
    plan.craft_train.separators = Level::High;
    plan.craft_train.frame_length = Duration::from_micros(22501);
    plan.craft_train.separator = Duration::from_micros(300);
    plan.craft_train.shortest = Pulse::from_micros(750);
    plan.craft_train.longest = Pulse::from_micros(2250);
    plan.craft_train.gap = Duration::from_millis(3);

    plan.cues.rest = Duration::from_millis(1050);
    plan.cues.taken.rhythm = Rhythm::of([600, 100, 600]);
    plan.cues.taken.lamp = false;
    plan.cues.taken.beeper = true;
    plan.cues.taken.vibration = true;
    plan.cues.taken.phrase = None;
    plan.cues.taken.every = Duration::from_millis(0);
    plan.cues.lost.rhythm = Rhythm::of([500, 100, 100, 100, 100, 100, 500]);
    plan.cues.lost.lamp = true;
    plan.cues.lost.beeper = true;
    plan.cues.lost.vibration = true;
    plan.cues.lost.phrase = None;
    plan.cues.lost.every = Duration::from_millis(0);
    plan.cues.nobody.rhythm = Rhythm::of([500, 100, 500, 100, 500, 100, 500]);
    plan.cues.nobody.lamp = true;
    plan.cues.nobody.beeper = true;
    plan.cues.nobody.vibration = true;
    plan.cues.nobody.phrase = Some(Phrase { slot: 2, lasts: Duration::from_micros(1500500) });
    plan.cues.nobody.every = Duration::from_millis(5000);
    plan.cues.handed_back.rhythm = Rhythm::of([100, 100, 100]);
    plan.cues.handed_back.lamp = true;
    plan.cues.handed_back.beeper = true;
    plan.cues.handed_back.vibration = true;
    plan.cues.handed_back.phrase = None;
    plan.cues.handed_back.every = Duration::from_millis(0);
    plan.cues.both.rhythm = Rhythm::of([100, 100, 100, 200, 100, 100, 100]);
    plan.cues.both.lamp = true;
    plan.cues.both.beeper = true;
    plan.cues.both.vibration = true;
    plan.cues.both.phrase = None;
    plan.cues.both.every = Duration::from_millis(0);
    plan.cues.offer.rhythm = Rhythm::of([100, 100, 100, 100, 100, 200, 100, 100, 100, 100, 100]);
    plan.cues.offer.lamp = false;
    plan.cues.offer.beeper = false;
    plan.cues.offer.vibration = false;
    plan.cues.offer.phrase = None;
    plan.cues.offer.every = Duration::from_millis(0);

    // 0: roll, instructor
    let mut channel = Channel::pulse(0);
    channel.number = 0;
    channel.reversed = false;
    channel.low = Pulse::from_micros(1000);
    channel.centre = Pulse::from_micros(1500);
    channel.high = Pulse::from_micros(2000);
    channel.lowest = Pulse::from_micros(750);
    channel.highest = Pulse::from_micros(2250);
    channel.trim = Deflection::from_points(0);
    channel.rate = Deflection::from_points(100);
    channel.limit_below = None;
    channel.limit_above = None;
    plan.instructor.axes[0] = Some(channel);

    // 0: roll, student
    let mut channel = Channel::pulse(5);
    channel.number = 5;
    channel.reversed = true;
    channel.low = Pulse::from_micros(1000);
    channel.centre = Pulse::from_bits(24003 /* 1500.1875 us */);
    channel.high = Pulse::from_micros(2000);
    channel.lowest = Pulse::from_micros(750);
    channel.highest = Pulse::from_micros(2250);
    channel.trim = Deflection::from_points(0);
    channel.rate = Deflection::from_points(60);
    channel.limit_below = None;
    channel.limit_above = Some(Deflection::from_points(50));
    plan.student.axes[0] = Some(channel);

    // 0: roll, craft
    let mut channel = Channel::pulse(0);
    channel.number = 0;
    channel.reversed = false;
    channel.low = Pulse::from_micros(1000);
    channel.centre = Pulse::from_micros(1500);
    channel.high = Pulse::from_micros(2000);
    channel.lowest = Pulse::from_micros(750);
    channel.highest = Pulse::from_micros(2250);
    channel.trim = Deflection::from_points(0);
    channel.rate = Deflection::from_points(100);
    channel.limit_below = None;
    channel.limit_above = None;
    plan.craft.axes[0] = Some(channel);

    // 1: throttle, instructor
    let mut channel = Channel::pulse(1);
    channel.number = 1;
    channel.reversed = false;
    channel.low = Pulse::from_micros(1000);
    channel.centre = Pulse::from_micros(1500);
    channel.high = Pulse::from_micros(2000);
    channel.lowest = Pulse::from_micros(750);
    channel.highest = Pulse::from_micros(2250);
    channel.trim = Deflection::from_points(0);
    channel.rate = Deflection::from_points(100);
    channel.limit_below = None;
    channel.limit_above = None;
    plan.instructor.axes[1] = Some(channel);

    // 1: throttle, craft
    let mut channel = Channel::pulse(1);
    channel.number = 1;
    channel.reversed = false;
    channel.low = Pulse::from_micros(1000);
    channel.centre = Pulse::from_micros(1500);
    channel.high = Pulse::from_micros(2000);
    channel.lowest = Pulse::from_micros(750);
    channel.highest = Pulse::from_micros(2250);
    channel.trim = Deflection::from_points(0);
    channel.rate = Deflection::from_points(100);
    channel.limit_below = None;
    channel.limit_above = None;
    plan.craft.axes[1] = Some(channel);
    plan
});
