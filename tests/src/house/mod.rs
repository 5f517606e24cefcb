//! A lab to try things in: the real server on real HTTP, desktops with folders of their own, and a shop's browser.
//!
//! Everything goes through what people use: the desk's commands, the sync runner, the portal's pages. Shared by the journeys,
//! the bad input and the benchmarks; it panics where a step that must succeed does not. Every maker, shop and place is invented.

mod browser;
mod desktop;
mod pictures;
mod questions;
mod server;
mod steps;

pub use browser::{Answer, Browser, client};
pub use desktop::{Desktop, files_holding, holds};
pub use pictures::{jpeg, jpeg_with_traces, with_size};
pub use questions::{
    all_jobs, assert_same, assert_sound, check_refused, entry_count, job, refusal, state_of,
};
pub use server::Server;
pub use steps::*;

use desk::commands::Nothing;
use desk::commands::start::{self, ConnectServer, JoinLab};
use domain::ShopId;

/// A founded lab with its server, one desktop and one shop.
pub struct House {
    /// The server.
    pub server: Server,
    /// The desktop on which the lab was founded.
    pub desk: Desktop,
    /// A shop that is asked about every quote.
    pub shop_id: ShopId,
}

impl House {
    /// A lab whose first desktop is connected and in step.
    pub fn founded() -> Self {
        Self::founded_on(Server::start())
    }

    /// The same on a server that runs already.
    pub fn founded_on(server: Server) -> Self {
        let desk = Desktop::new();
        found(&desk);
        let request = ConnectServer {
            url: server.url(),
            code: server.join_code(),
        };
        start::connect_server(&desk, request).expect("a good code connects");
        let shop_id = add_shop(&desk, "Corner Phones", "PT", "EUR", "");
        desk.sync_now().expect("the server answers");
        Self {
            server,
            desk,
            shop_id,
        }
    }

    /// One more desktop, joined by an invitation from the first, with the owner at it.
    pub fn second_desktop(&self, name: &str) -> Desktop {
        let second = Desktop::new();
        self.join(&second, name);
        second
    }

    /// Joins a new desktop by an invitation from the first.
    pub fn join(&self, second: &Desktop, name: &str) {
        let invitation = start::invite_desktop(&self.desk, Nothing {})
            .expect("the server makes codes")
            .text;
        let request = JoinLab {
            invitation,
            desktop_name: name.to_owned(),
        };
        let state = start::join_lab(second, request)
            .expect("an invitation from a desktop of the lab joins");
        let person_id = state
            .people
            .first()
            .expect("the lab's people came along")
            .person_id;
        start::choose_person(second, start::ChoosePerson { person_id })
            .expect("the owner is known");
    }

    /// A browser signed in for the first shop.
    pub fn counter(&self) -> Browser {
        self.counter_of(self.shop_id, "counter@corner.example")
    }

    /// A browser signed in for a shop, by an invitation from the first desktop.
    pub fn counter_of(&self, shop_id: ShopId, email: &str) -> Browser {
        let mut browser = Browser::new(&self.server.url());
        browser.follow_invite(&shop_link(&self.desk, shop_id, email));
        browser
    }

    /// Sends and fetches until nothing is left, at each of the desktops.
    pub fn catch_up(&self, others: &[&Desktop]) {
        for _ in 0..2 {
            self.desk.sync_now().expect("the server answers");
            for other in others {
                other.sync_now().expect("the server answers");
            }
        }
    }
}
