//! Facts about one job, from its advice to its return.
//!
//! Each is what one person recorded at one time; what follows from it stands in [`crate::job`], never here.

mod advice;
mod ending;
mod look_over;
mod quote;
mod result;
mod step;

pub use self::advice::*;
pub use self::ending::*;
pub use self::look_over::*;
pub use self::quote::*;
pub use self::result::*;
pub use self::step::*;
