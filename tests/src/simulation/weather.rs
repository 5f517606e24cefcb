//! What can go wrong in a run.

/// Which kinds of trouble a run has.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each kind of trouble is there or not, in any combination"
)]
#[derive(Debug, Clone, Copy)]
pub(super) struct Weather {
    /// Messages are dropped, doubled, delayed; answers are lost.
    pub(super) line: bool,
    /// Programs die, disks fill, clocks jump by up to a day.
    pub(super) machines: bool,
    /// Desktops are restored from old files, and cloned with everything in them.
    pub(super) old_desktops: bool,
    /// The server is restored, by its command or by copying a file behind its back.
    pub(super) old_server: bool,
}

impl Weather {
    /// Nothing goes wrong.
    pub(super) const FAIR: Self = Self {
        line: false,
        machines: false,
        old_desktops: false,
        old_server: false,
    };
    /// Everything goes wrong.
    pub(super) const FOUL: Self = Self {
        line: true,
        machines: true,
        old_desktops: true,
        old_server: true,
    };
}
