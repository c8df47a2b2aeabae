//! What each target of the fuzzer is given, and what must hold of it. A panic is a finding.
//!
//! | target | bytes are | must hold |
//! |---|---|---|
//! | `policy` | a policy or a box file | a refusal names line and remedy; an accepted file reads back as it was written |
//! | `trace` | a trace, with a policy, a box or neither | engine and reference agree in every row |
//! | [`serial`] | what a computer sends to a box | no outcome of the box changes; the box sends whole lines |
//! | [`store`] | a stored plan, or the flash around it | what is read passes its check or is refused, and reads back |
//! | [`train`] | pulse trains | no frame that was not sent |
//! | [`step`] | a policy and the inputs of every step | engine and reference agree, and no rule of the contract is broken |
//! | [`calibrate`] | readings of sticks | a recommendation is within its bounds and passes the check of a policy |

mod bytes;

pub mod calibrate;
#[cfg(feature = "text")]
pub mod policy;
pub mod serial;
pub mod step;
pub mod store;
#[cfg(feature = "text")]
pub mod trace;
pub mod train;
