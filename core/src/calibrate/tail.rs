//! How many standard deviations away a threshold must be, so that noise passes it seldom enough.
//!
//! Tables instead of logarithms and normal tails, for normal noise of which neighbouring frames know something:
//!
//! - a takeover with `confirm` 1 is one of two neighbours that is beyond, on either side, while the other is not;
//! - one with 2 or 3 ends a row of so many frames that are beyond, and is no more frequent than such rows, nor than
//!   the takeovers with `confirm` 1.
//!
//! Each is a normal probability of two or three frames. The tables hold z^2, which is nearly a straight line in L, of
//! events as rare as one in 2^L frames; its columns are even in how new a frame is, s = sqrt(1 - |r|) where r is how
//! alike neighbours are, and for three frames in p = sqrt(1 + r'), where r' is how alike the outer two are besides what
//! the middle one makes them (their partial correlation): 1 for noise that only forgets, less for noise that sways,
//! more for a mixture of slow and white. Between the entries lines are straight; entries were made larger, by 0.4 % or what
//! a line would be too low by half way between two of them, so that a looked-up z is not too small. A test of the host tool
//! works all of it out by integration and holds the tables to it.

/// L of the first row; from one to the next it is 8, in 256ths 2^11.
const FIRST: u32 = 8 * 256;
const RARITY_BITS: u32 = 11;

/// Columns for s = 1/16, 2/16, .. 1, which is 2^14.
const NEW_BITS: u32 = 10;
const SLOWEST: u32 = 1 << NEW_BITS;

/// Entries for p = 0, 1/4, .. 5/4.
const PARTIAL_BITS: u32 = 12;

/// z^2 in 2^-10ths: one frame that is beyond, and the next one is not.
static CROSSING: [[u16; 16]; 6] = [
    [4193, 5606, 6341, 6882, 7291, 7608, 7857, 8053, 8207, 8324, 8412, 8475, 8518, 8544, 8559, 8563],
    [15588, 16980, 17680, 18171, 18520, 18768, 18943, 19063, 19142, 19190, 19217, 19231, 19237, 19238, 19239, 19239],
    [26984, 28355, 29019, 29465, 29761, 29954, 30074, 30144, 30182, 30200, 30207, 30209, 30210, 30210, 30210, 30210],
    [38380, 39730, 40360, 40764, 41013, 41161, 41242, 41282, 41299, 41305, 41307, 41307, 41307, 41307, 41307, 41307],
    [49776, 51105, 51703, 52067, 52277, 52388, 52442, 52463, 52471, 52472, 52473, 52473, 52473, 52473, 52473, 52473],
    [61172, 62480, 63047, 63375, 63550, 63633, 63667, 63679, 63682, 63682, 63682, 63682, 63682, 63682, 63682, 63682],
];

/// Two frames in a row that are beyond.
static TWO: [[u16; 16]; 6] = [
    [8353, 8115, 7859, 7584, 7291, 6980, 6651, 6305, 5943, 5564, 5170, 4762, 4349, 3968, 3684, 3576],
    [18908, 18524, 18092, 17611, 17080, 16499, 15867, 15184, 14450, 13666, 12831, 11947, 11014, 10035, 9073, 8569],
    [29789, 29283, 28696, 28026, 27272, 26432, 25505, 24489, 23385, 22192, 20910, 19540, 18082, 16536, 14915, 13843],
    [40809, 40191, 39460, 38611, 37641, 36547, 35327, 33980, 32505, 30902, 29169, 27307, 25316, 23196, 20952, 19239],
    [51906, 51184, 50314, 49291, 48109, 46764, 45254, 43577, 41731, 39715, 37528, 35170, 32642, 29943, 27075, 24703],
    [63052, 62231, 61228, 60034, 58642, 57049, 55249, 53241, 51023, 48593, 45951, 43095, 40026, 36745, 33251, 30210],
];

/// Three frames in a row.
#[rustfmt::skip]
static THREE: [[[u16; 6]; 16]; 6] = [
    [
        [8118, 8120, 8135, 8158, 8193, 8249],
        [7581, 7600, 7643, 7705, 7789, 7910],
        [6987, 7015, 7096, 7208, 7353, 7550],
        [6345, 6392, 6514, 6683, 6893, 7171],
        [5690, 5749, 5910, 6140, 6419, 6777],
        [4972, 5049, 5267, 5574, 5931, 6370],
        [4213, 4314, 4591, 4986, 5431, 5952],
        [3473, 3586, 3912, 4388, 4922, 5525],
        [2761, 2878, 3249, 3797, 4411, 5092],
        [2098, 2230, 2630, 3229, 3907, 4655],
        [1650, 1789, 2151, 2718, 3418, 4216],
        [1726, 1802, 1988, 2357, 2960, 3779],
        [2191, 2159, 2163, 2216, 2569, 3353],
        [2602, 2628, 2501, 2248, 2284, 2964],
        [3070, 3060, 2793, 2351, 2118, 2677],
        [3576, 3281, 2890, 2398, 2063, 2570],
    ],
    [
        [18519, 18530, 18558, 18600, 18659, 18748],
        [17600, 17633, 17720, 17842, 17995, 18201],
        [16523, 16586, 16747, 16973, 17247, 17596],
        [15370, 15433, 15668, 16022, 16436, 16937],
        [13906, 14043, 14416, 14959, 15559, 16228],
        [12387, 12546, 13035, 13788, 14611, 15473],
        [10736, 10957, 11575, 12544, 13605, 14671],
        [9025, 9314, 10064, 11254, 12555, 13827],
        [7307, 7647, 8540, 9947, 11477, 12945],
        [5722, 6079, 7056, 8657, 10387, 12032],
        [4241, 4681, 5661, 7417, 9300, 11091],
        [4287, 4435, 4857, 6275, 8223, 10126],
        [5313, 5323, 5378, 5562, 7191, 9146],
        [6173, 6358, 6318, 5789, 6229, 8157],
        [7475, 7490, 7082, 6193, 5480, 7209],
        [8569, 8091, 7376, 6340, 5188, 6704],
    ],
    [
        [29273, 29288, 29328, 29388, 29468, 29584],
        [28008, 28057, 28185, 28363, 28581, 28863],
        [26544, 26613, 26838, 27171, 27565, 28044],
        [24691, 24826, 25221, 25795, 26430, 27135],
        [22560, 22761, 23320, 24199, 25159, 26137],
        [20244, 20473, 21227, 22432, 23762, 25050],
        [17771, 18026, 18969, 20529, 22259, 23882],
        [15162, 15414, 16586, 18530, 20672, 22638],
        [12499, 12805, 14157, 16487, 19026, 21320],
        [8499, 9903, 11758, 14456, 17346, 19935],
        [5246, 7192, 9475, 12495, 15655, 18487],
        [6929, 6929, 7530, 10652, 13975, 16984],
        [8258, 8588, 8787, 9223, 12321, 15434],
        [10323, 10335, 10379, 9549, 10718, 13845],
        [12025, 12138, 11682, 10364, 9269, 12238],
        [13843, 13214, 12191, 10620, 8569, 11171],
    ],
    [
        [40171, 40195, 40248, 40323, 40423, 40564],
        [38608, 38662, 38826, 39057, 39335, 39686],
        [36735, 36819, 37109, 37555, 38071, 38671],
        [34229, 34414, 34936, 35741, 36616, 37526],
        [31428, 31675, 32421, 33626, 34960, 36249],
        [28591, 28643, 29612, 31262, 33118, 34846],
        [24938, 25222, 26522, 28690, 31125, 33323],
        [20507, 21534, 23228, 25970, 29008, 31680],
        [13375, 17117, 19855, 23178, 26795, 29925],
        [8499, 12919, 16522, 20399, 24521, 28064],
        [5246, 9301, 13297, 17710, 22218, 26105],
        [6929, 8006, 10510, 15177, 19916, 24058],
        [10143, 10754, 11670, 12886, 17641, 21932],
        [13936, 14369, 14485, 13577, 15417, 19739],
        [16712, 16877, 16399, 14664, 13279, 17474],
        [19239, 18476, 17155, 15048, 12067, 15787],
    ],
    [
        [51163, 51185, 51251, 51342, 51461, 51625],
        [49312, 49373, 49570, 49851, 50186, 50601],
        [46957, 47064, 47460, 48037, 48683, 49401],
        [43874, 44125, 44762, 45789, 46914, 48028],
        [40344, 40715, 41638, 43158, 44873, 46481],
        [36469, 36790, 38090, 40192, 42598, 44770],
        [31383, 32397, 34120, 36942, 40118, 42891],
        [20507, 26655, 29953, 33493, 37467, 40852],
        [13375, 20771, 25619, 29948, 34685, 38660],
        [8499, 15511, 21210, 26415, 31815, 36323],
        [5246, 11166, 17063, 22996, 28897, 33851],
        [6929, 9743, 13481, 19772, 25970, 31254],
        [10143, 13484, 15300, 16823, 23066, 28547],
        [16325, 17275, 18159, 17181, 20213, 25742],
        [21215, 21609, 21224, 19165, 17442, 22850],
        [24703, 23818, 22204, 19559, 15664, 20486],
    ],
    [
        [62204, 62229, 62307, 62415, 62552, 62738],
        [60089, 60157, 60382, 60712, 61101, 61576],
        [57213, 57378, 57862, 58578, 59362, 60198],
        [53712, 53907, 54665, 55903, 57280, 58602],
        [49798, 49895, 50930, 52757, 54863, 56795],
        [44869, 45072, 46589, 49183, 52157, 54774],
        [31383, 38667, 41775, 45247, 49189, 52543],
        [20507, 31136, 36698, 41063, 46005, 50109],
        [13375, 23951, 31190, 36761, 42653, 47481],
        [8499, 17818, 25746, 32474, 39185, 44667],
        [5246, 12854, 20732, 28324, 35650, 41679],
        [6929, 11348, 16426, 24409, 32094, 38530],
        [10143, 16034, 18947, 20810, 28556, 35236],
        [16325, 20956, 22386, 21300, 25071, 31815],
        [26534, 26736, 26356, 23520, 21667, 28283],
        [30210, 29210, 27307, 24123, 19331, 25239],
    ],
];

/// How rare an event is: at most one in 2^L frames, L in 256ths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rarity(u32);

impl Rarity {
    /// One in so many frames. The logarithm is never too small, and too large by at most 1/20.
    pub(super) const fn one_in(frames: u64) -> Self {
        let Some(whole) = frames.checked_ilog2() else { return Self(0) };
        // The first 8 bits after the leading one, x: log2(1 + x) is within 0.008 of x + 0.344 x (1 - x), and what is
        // behind the 8 bits makes less than 0.006.
        let part = ((frames << (63_u32.saturating_sub(whole))) >> 55) as u32 & 255;
        let bend = part.wrapping_mul(256_u32.wrapping_sub(part)).wrapping_mul(88) >> 16;
        Self(whole.wrapping_mul(256).wrapping_add(part).wrapping_add(bend).wrapping_add(5))
    }

    /// An event that may happen 2^`powers` times less often.
    pub(super) const fn rarer(self, powers: u32) -> Self {
        Self(self.0.saturating_add(powers.saturating_mul(256)))
    }

    /// An event that may happen 2^`powers` times as often.
    pub(super) const fn more_often(self, powers: u32) -> Self {
        Self(self.0.saturating_sub(powers.saturating_mul(256)))
    }

    /// Crossings of noise that is slower than the first column are as much rarer as it is slower.
    const fn slower(self, new: u32) -> Self {
        let Self(rarer) = Self::one_in(SLOWEST as u64);
        let Self(log) = Self::one_in(new as u64);
        Self(self.0.saturating_add(log).saturating_sub(rarer))
    }
}

/// How neighbouring frames hang together.
#[derive(Clone, Copy, Debug)]
pub(super) struct Colour {
    /// s in 2^-14ths, 1 or more.
    new: u32,
    /// p in 2^-14ths.
    partial: u32,
}

impl Colour {
    /// Of noise of which so much is new after one frame, and after two; in 2^-20ths, see [`RestNoise::fresh`](super::RestNoise::fresh).
    pub(super) fn new([one, two]: [u32; 2]) -> Self {
        const WHOLE: u32 = 1 << 20;
        // Noise that changes sides with every frame is as alike as if it did not: either side counts.
        let one = if one > WHOLE { (2 * WHOLE).saturating_sub(one) } else { one };
        let one = one.max(1);
        // 1 - r^2 = (1 - r) (1 + r), and 1 + r' = 2 - (1 - the outer two's correlation) / that. Below 2^42.
        let unlike = u64::from(one).wrapping_mul(u64::from((2 * WHOLE).saturating_sub(one)));
        let outer = (u64::from(two) << 40).checked_div(unlike).unwrap_or(u64::MAX);
        let partial = (u64::from(WHOLE) << 1).saturating_sub(outer);
        #[allow(clippy::cast_possible_truncation)] // below 2^15
        Self { new: one.wrapping_shl(8).isqrt().max(1), partial: (partial << 8).isqrt() as u32 }
    }

    /// The noise of the distance between two readings of which one stays (R2): half of it is common to all frames.
    pub(super) fn of_distance([one, two]: [u32; 2]) -> Self {
        Self::new([one >> 1, two >> 1])
    }

    /// How often a row may be on one side, in powers of two of how often it may be on either: frames that know nothing
    /// of each other may each be on either side.
    pub(super) fn sides(self, confirm: u8) -> u32 {
        // Both correlations are within a 32nd, so that s and p are within a 64th of 1.
        const WHITE: u32 = 1 << 14;
        let white = self.new.abs_diff(WHITE) <= WHITE >> 6 && self.partial.abs_diff(WHITE) <= WHITE >> 6;
        if white { confirm.clamp(1, 3).into() } else { 1 }
    }
}

/// How many standard deviations, in 2^-10ths, `confirm` frames in a row pass no more often than once in so many `frames`:
/// normal noise of any band, on either side. 4 and more in a row count as 3, less than one in 256 frames as that.
///
/// `fresh` says how slow the noise is, as in a [`RestNoise`](super::RestNoise).
///
/// ```
/// use handback::calibrate::deviations;
/// // White noise, 50 frames a second, once in 100 hours: one frame, two, three in a row.
/// let white = |confirm| deviations(18_000_000, confirm, [1 << 20; 2]) * 100 / 1024;
/// assert_eq!([white(1), white(2), white(3)], [544, 368, 290]);
/// // Noise that hardly changes from frame to frame: confirm is of no use.
/// let slow = |confirm| deviations(18_000_000, confirm, [10_486, 20_867]) * 100 / 1024;
/// assert_eq!([slow(1), slow(2), slow(3)], [522, 522, 522]);
/// ```
pub fn deviations(frames: u64, confirm: u8, fresh: [u32; 2]) -> u32 {
    beyond(Rarity::one_in(frames), confirm, Colour::new(fresh))
}

/// The same for a rarity.
pub(super) fn beyond(rarity: Rarity, confirm: u8, colour: Colour) -> u32 {
    let Colour { new, partial } = colour;
    let across = new.saturating_sub(SLOWEST);
    let crossing = if new < SLOWEST { rarity.slower(new) } else { rarity };
    let crossing = line(&CROSSING, crossing.place(), RARITY_BITS, |row| line(row, across, NEW_BITS, |&z| z.into()));
    // Noise as slow as that seldom leaves a row within three frames.
    let rows = match confirm {
        _ if new < SLOWEST => u32::MAX,
        0 | 1 => u32::MAX,
        2 => line(&TWO, rarity.place(), RARITY_BITS, |row| line(row, across, NEW_BITS, |&z| z.into())),
        _ => line(&THREE, rarity.place(), RARITY_BITS, |row| {
            line(row, across, NEW_BITS, |column| swaying(column, partial))
        }),
    };
    crossing.min(rows).wrapping_shl(10).isqrt().saturating_add(1)
}

/// Between the first two entries the curve is steep, and the greater of them stands for it.
fn swaying(column: &[u16; 6], partial: u32) -> u32 {
    let [first, second, ..] = *column;
    if partial < 1 << PARTIAL_BITS {
        first.max(second).into()
    } else {
        line(column, partial, PARTIAL_BITS, |&z| z.into())
    }
}

impl Rarity {
    /// Where in the tables it is; what is less rare than their beginning counts as that.
    const fn place(self) -> u32 {
        self.0.saturating_sub(FIRST)
    }
}

/// The straight line between two entries; past the last entry it is that.
fn line<T>(entries: &[T], place: u32, bits: u32, value: impl Fn(&T) -> u32) -> u32 {
    let before = place.wrapping_shr(bits) as usize;
    let part = place & 1_u32.wrapping_shl(bits).wrapping_sub(1);
    match (entries.get(before), entries.get(before.saturating_add(1))) {
        (Some(from), Some(to)) => {
            // Values are below 2^16 and parts of at most 12 bits.
            let (from, to, whole) = (value(from), value(to), 1_u32.wrapping_shl(bits));
            let sum = from.wrapping_mul(whole.wrapping_sub(part)).wrapping_add(to.wrapping_mul(part));
            sum.wrapping_add(whole.wrapping_sub(1)).wrapping_shr(bits)
        }
        _ => entries.last().map_or(0, value),
    }
}
