//! The job as people do it: the desk's commands, the portal's pages, a real server over real HTTP, real files.

mod apart;
mod cell_bay;
mod comebacks;
mod dock;
mod lots;
mod marks;
mod passcode;
mod reports;
mod restore;
mod route;
mod transport;
mod whole_job;
mod work;
