//! One error type for all set-ups of a box.

use core::fmt;

use crate::channel::ChannelError;
use crate::cue::CueError;
use crate::message::Message;
use crate::policy::PolicyError;
use crate::ppm::PpmError;
use crate::quantity::{Counts, Micros};

/// Why a set-up was refused. `?` converts the error of every `check` into it.
///
/// ```
/// use handback::cue::{CueRules, Cues};
/// use handback::ppm::{DecoderSetup, Level};
/// use handback::{AxisRule, Channels, Engine, Error, Policy};
///
/// fn start() -> Result<(), Error> {
///     let policy = Policy::new([AxisRule::sprung(); 4]).check()?;
///     let sticks = Channels::<_, 4, 8>::pulses().check()?;
///     let student = DecoderSetup::new(Level::High).check::<8>()?;
///     let rules = CueRules::new().check()?;
///     let (engine, cues) = (Engine::new(&policy), Cues::new(&rules));
///     Ok(())
/// }
/// # start()?;
/// # let mut policy = Policy::new([AxisRule::sprung(); 4]);
/// # policy.axes[3].confirm = 0;
/// let why: Error = policy.check().unwrap_err().into();
/// assert_eq!(why.to_string(), "policy: axis 3: confirm is 0: it must be 1 or more");
/// # Ok::<(), Error>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub enum Error {
    /// The policy is wrong.
    Policy(PolicyError),
    /// The set-up of channels that carry pulse widths is wrong.
    Pulses(ChannelError<Micros>),
    /// The set-up of channels that carry the counts of a converter is wrong.
    Counts(ChannelError<Counts>),
    /// The set-up of a decoder or an encoder is wrong.
    Ppm(PpmError),
    /// The rules of the cues are wrong.
    Cues(CueError),
}

impl Error {
    /// The error in words: the set-up and what is wrong with it. For a set-up in a `const`, the compiler prints it.
    pub const fn message(&self) -> Message {
        let (what, why) = match self {
            Self::Policy(why) => ("policy: ", why.message()),
            Self::Pulses(why) => ("channels: ", why.message()),
            Self::Counts(why) => ("channels: ", why.message()),
            Self::Ppm(why) => ("PPM: ", why.message()),
            Self::Cues(why) => ("cues: ", why.message()),
        };
        Message::new().text(what).text(why.as_str())
    }
}

macro_rules! made_of {
    ($($error:ty => $variant:ident),+ $(,)?) => {
        $(impl From<$error> for Error {
            fn from(why: $error) -> Self {
                Self::$variant(why)
            }
        })+
    };
}

made_of! {
    PolicyError => Policy,
    ChannelError<Micros> => Pulses,
    ChannelError<Counts> => Counts,
    PpmError => Ppm,
    CueError => Cues,
}

crate::message::displayed!(Error);
