//! All that a person can do or see, one function each, in one table.
//!
//! A command is a plain function `fn(&Desk, Request) -> Result<Response, DeskError>`. From the table come the window's handler, the
//! loopback twin and the TypeScript; there is no second list to keep in step. A command checks, builds facts and appends them in
//! one transaction; it never changes anything in another way.

pub mod bench;
pub mod boards;
pub mod cell_bay;
pub mod cell_papers;
pub mod dock;
pub mod lots;
pub mod outbound;
pub mod paper_setup;
pub mod printing;
pub mod procedures;
pub mod rack;
pub mod scan;
pub mod setup;
pub mod shops;
pub mod start;
pub mod transport;

pub use crate::views::*;

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::desk::Desk;
use crate::error::DeskError;

/// A request or answer that says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, ts_rs::TS)]
pub struct Nothing {}

/// Commands that only read, or that wait for the network or a disk. All others run one after the other, so that what a command
/// has checked still holds when it records.
const WAITS_FOR_NOBODY: &[&str] = &[
    "state",
    "join_lab",
    "connect_server",
    "invite_desktop",
    "sync_now",
    "restore_lab",
    "load_draft",
    "scan",
    "read_identifier",
    "dock",
    "parcel",
    "rack",
    "cell_bay",
    "cell",
    "preview_cell_reading",
    "job",
    "preview_cell_check",
    "work_aids",
    "preview_step",
    "boards",
    "board",
    "lots",
    "lot",
    "procedures",
    "preview_trace",
    "kept_trace",
    "past",
    "outbound",
    "transport_verdict",
    "rule_book",
    "shops",
    "shop",
    "invite_shop_user",
    "setup",
    "printers",
    "choose_printer",
    "make_test_page",
    "show_page",
    "print_paper",
    "preview_papers",
    "back_up",
    "verify_logbook",
];

macro_rules! commands {
    ($($(#[doc = $doc:literal])* $name:ident = $path:path : $request:ty => $response:ty),+ $(,)?) => {
        /// Every command's name.
        pub const NAMES: &[&str] = &[$(stringify!($name)),+];

        /// Runs a command by name on a JSON request.
        pub fn dispatch(desk: &Desk, name: &str, request: Value) -> Result<Value, DeskError> {
            let _turn = (!WAITS_FOR_NOBODY.contains(&name)).then(|| desk.take_turn());
            match name {
                $(stringify!($name) => {
                    let request: $request = serde_json::from_value(request)
                        .map_err(|source| DeskError::Request { command: name.to_owned(), source })?;
                    let response: $response = $path(desk, request)?;
                    serde_json::to_value(response).map_err(|source| DeskError::Request { command: name.to_owned(), source })
                })+
                _ => Err(DeskError::NoCommand { name: name.to_owned() }),
            }
        }

        /// Writes each command as a TypeScript function, and hands every type it names to `visit`.
        pub fn typescript(config: &ts_rs::Config, visit: &mut impl ts_rs::TypeVisitor) -> String {
            let mut out = String::new();
            $(
                visit.visit::<$request>();
                visit.visit::<$response>();
                crate::typescript::function(
                    &mut out,
                    &[$($doc),*],
                    stringify!($name),
                    &<$request as ts_rs::TS>::name(config),
                    &<$response as ts_rs::TS>::name(config),
                );
            )+
            out
        }
    };
}

commands! {
    /// What the screen shows around every place.
    state = start::state: Nothing => start::DeskState,
    /// Founds a lab on this desktop.
    found_lab = start::found_lab: start::FoundLab => start::DeskState,
    /// Joins a lab by an invitation from one of its desktops.
    join_lab = start::join_lab: start::JoinLab => start::DeskState,
    /// Connects this lab to its server with a one-time code.
    connect_server = start::connect_server: start::ConnectServer => start::DeskState,
    /// Makes an invitation for one more desktop.
    invite_desktop = start::invite_desktop: Nothing => start::Invitation,
    /// Says who is at this desktop.
    choose_person = start::choose_person: start::ChoosePerson => start::DeskState,
    /// Tries to reach the server now.
    sync_now = start::sync_now: Nothing => SyncLine,
    /// Restores a lab from a backup into an empty desktop.
    restore_lab = start::restore_lab: start::RestoreLab => start::DeskState,
    /// Keeps what is being typed.
    save_draft = start::save_draft: start::Draft => Nothing,
    /// Gives back what was being typed.
    load_draft = start::load_draft: start::DraftKey => start::KeptDraft,
    /// Forgets what was being typed.
    forget_draft = start::forget_draft: start::DraftKey => Nothing,

    /// Finds what a scanned or typed text means.
    scan = scan::scan: scan::ScanText => scan::ScanAnswer,
    /// Reads an identifier and judges its check digit.
    read_identifier = scan::read_identifier: scan::ScanText => scan::IdentifierReadings,

    /// Parcels awaited, received and counted.
    dock = dock::dock: Nothing => dock::DockView,
    /// One parcel.
    parcel = dock::parcel: dock::ParcelKey => dock::ParcelView,
    /// Takes a parcel in.
    receive_parcel = dock::receive_parcel: dock::ReceiveParcel => dock::ParcelView,
    /// Says which shop a parcel is from.
    set_parcel_shop = dock::set_parcel_shop: dock::SetParcelShop => dock::ParcelView,
    /// Records what is seen on a parcel.
    record_parcel_findings = dock::record_parcel_findings: dock::RecordParcelFindings => dock::ParcelView,
    /// Finds a dangerous parcel safe to open.
    release_parcel = dock::release_parcel: dock::ReleaseParcel => dock::ParcelView,
    /// Sets a parcel's tracking number.
    set_tracking = dock::set_tracking: dock::SetTracking => dock::ParcelView,
    /// Counts expected against found.
    count_parcel = dock::count_parcel: dock::CountParcel => dock::ParcelView,
    /// Prints job tags.
    print_job_tags = dock::print_job_tags: dock::PrintJobTags => PaperFile,

    /// Every job in the house.
    rack = rack::rack: rack::RackFilter => rack::RackView,

    /// Everything in isolation, and what is watched.
    cell_bay = cell_bay::cell_bay: Nothing => cell_bay::CellBayView,
    /// One thing in the Cell bay: a removed cell, or a device with its cell in it.
    cell = cell_bay::cell: cell_bay::BayKey => cell_bay::CellView,
    /// Judges a reading without recording it.
    preview_cell_reading = cell_bay::preview_cell_reading: cell_bay::TakeCellReading => domain::cells::Judgement,
    /// Records a reading.
    take_cell_reading = cell_bay::take_cell_reading: cell_bay::TakeCellReading => cell_bay::CellView,
    /// Puts a device or a cell in isolation, or elsewhere in it.
    place_in_isolation = cell_bay::place_in_isolation: cell_bay::PlaceInIsolation => cell_bay::CellView,
    /// Records that a cell was taken out of its device.
    remove_cell = cell_bay::remove_cell: cell_bay::RemoveCell => cell_bay::CellView,
    /// Judges a cell sound or damaged.
    judge_cell = cell_bay::judge_cell: cell_bay::JudgeCell => cell_bay::CellView,
    /// Hands a removed cell to a recycler.
    hand_over_cell = cell_bay::hand_over_cell: cell_bay::HandOverCell => cell_bay::CellView,
    /// Sends a cell back under the provisions for damaged cells.
    return_cell = cell_bay::return_cell: cell_bay::ReturnCell => cell_bay::CellView,
    /// Says why a cell stays in isolation.
    hold_cell = cell_bay::hold_cell: cell_bay::HoldCell => cell_bay::CellView,

    /// One job: the spread.
    job = bench::job: bench::JobKey => bench::JobView,
    /// Judges a cell check without recording it.
    preview_cell_check = bench::cell::preview_cell_check: bench::cell::RecordCellCheck => domain::cells::Judgement,
    /// Records a cell check.
    record_cell_check = bench::cell::record_cell_check: bench::cell::RecordCellCheck => bench::JobView,
    /// Describes the device.
    describe_device = bench::look_over::describe_device: bench::look_over::DescribeDevice => bench::JobView,
    /// Records the identifiers read from the device.
    record_identity = bench::look_over::record_identity: bench::look_over::RecordIdentity => bench::JobView,
    /// Records one mark on the case.
    record_condition = bench::look_over::record_condition: bench::look_over::RecordCondition => bench::JobView,
    /// Records locks, seals and indicators.
    record_signs = bench::look_over::record_signs: bench::look_over::RecordSigns => bench::JobView,
    /// Records what came with the device.
    record_accessories = bench::look_over::record_accessories: bench::look_over::RecordAccessories => bench::JobView,
    /// Seals a passcode.
    seal_passcode = bench::look_over::seal_passcode: bench::look_over::SealPasscode => bench::JobView,
    /// Opens a passcode, for a reason.
    open_passcode = bench::look_over::open_passcode: bench::look_over::OpenPasscode => bench::look_over::OpenedPasscode,
    /// Chooses the tests that the proof rests on.
    choose_tests = bench::proof::choose_tests: bench::proof::ChooseTests => bench::JobView,
    /// Records one test's result.
    record_result = bench::proof::record_result: bench::proof::RecordResult => bench::JobView,
    /// What became of like jobs.
    past = bench::past::past: bench::JobKey => bench::past::PastView,
    /// Reads a current trace without recording it.
    preview_trace = bench::trace::preview_trace: bench::trace::TraceFile => bench::trace::TraceView,
    /// Reads a kept current trace again.
    kept_trace = bench::trace::kept_trace: bench::trace::TraceKey => bench::trace::TraceView,
    /// Records what is thought to be wrong.
    record_diagnosis = bench::quote::record_diagnosis: bench::quote::RecordDiagnosis => bench::JobView,
    /// Sets the quote.
    set_quote = bench::quote::set_quote: bench::quote::SetQuote => bench::JobView,
    /// Records an answer that the shop gave by word.
    record_decision = bench::quote::record_decision: bench::quote::RecordDecision => bench::JobView,
    /// What a bench has at hand for a job: boards, procedures, alloys, lots.
    work_aids = bench::heat::work_aids: bench::JobKey => bench::heat::WorkAids,
    /// Shows what a step would open and what speaks against it, without recording it.
    preview_step = bench::heat::preview_step: bench::heat::PreviewStep => bench::heat::StepPreview,
    /// Works the job by a procedure.
    begin_procedure = procedures::begin_procedure: procedures::BeginProcedure => bench::JobView,
    /// Records a step of work.
    record_step = bench::work::record_step: bench::work::RecordStep => bench::JobView,
    /// Lets the job wait.
    place_hold = bench::work::place_hold: bench::work::PlaceHold => bench::JobView,
    /// Lets the job go on.
    lift_hold = bench::work::lift_hold: bench::work::LiftHold => bench::JobView,
    /// Passes a block, for a reason.
    override_block = bench::closing::override_block: bench::closing::OverrideBlock => bench::JobView,
    /// Sets the outcome.
    set_outcome = bench::closing::set_outcome: bench::closing::SetOutcome => bench::JobView,
    /// Makes the return report.
    make_report = bench::closing::make_report: bench::closing::MakeReport => PaperFile,
    /// Settles a disagreement.
    settle = bench::closing::settle: bench::closing::Settle => bench::JobView,
    /// Takes an entry back.
    withdraw = bench::closing::withdraw: bench::closing::Withdraw => Nothing,
    /// Writes to the shop.
    post_message = bench::work::post_message: bench::work::PostMessage => bench::JobView,
    /// Writes a note for the lab.
    record_note = bench::work::record_note: bench::work::RecordNote => bench::JobView,

    /// What is ready to go, by shop.
    outbound = outbound::outbound: Nothing => outbound::OutboundView,
    /// Begins a return parcel.
    open_return_parcel = outbound::open_return_parcel: outbound::OpenReturnParcel => dock::ParcelView,
    /// Scans a device into a return parcel.
    pack_device = outbound::pack_device: outbound::PackDevice => dock::ParcelView,
    /// Takes a device out of a return parcel.
    unpack_device = outbound::unpack_device: outbound::UnpackDevice => dock::ParcelView,
    /// Weighs a return parcel.
    weigh_parcel = outbound::weigh_parcel: outbound::WeighParcel => dock::ParcelView,
    /// Prints a packing slip.
    print_packing_slip = outbound::print_packing_slip: outbound::PrintPackingSlip => PaperFile,
    /// The transport verdict of a return parcel.
    transport_verdict = transport::transport_verdict: dock::ParcelKey => transport::TransportView,
    /// Says how a return parcel goes.
    record_transport = transport::record_transport: transport::RecordTransport => transport::TransportView,
    /// Lets a parcel go where the law leaves a trained shipper a choice.
    decide_transport = transport::decide_transport: transport::DecideTransport => transport::TransportView,
    /// Prints the packing instruction of a return parcel, with the marks, words and sentences that its verdict asks for.
    print_transport_papers = cell_papers::print_transport_papers: cell_papers::PrintTransportPapers => Vec<cell_papers::ParcelPaper>,
    /// Prints the label of a device or cell in the Cell bay.
    print_bay_label = cell_papers::print_bay_label: cell_papers::PrintBayLabel => PaperFile,
    /// Prints the record that goes with a cell handed to a recycler.
    print_handover = cell_papers::print_handover: cell_papers::PrintHandover => PaperFile,
    /// Hands a return parcel to its carrier.
    ship_parcel = outbound::ship_parcel: outbound::ShipParcel => dock::ParcelView,

    /// Every shop.
    shops = shops::shops: Nothing => shops::ShopsView,
    /// One shop.
    shop = shops::shop: shops::ShopKey => shops::ShopView,
    /// Adds or changes a shop.
    save_shop = shops::save_shop: shops::SaveShop => shops::ShopView,
    /// Makes a one-time link by which a shop's user signs in.
    invite_shop_user = shops::invite_shop_user: shops::InviteShopUser => shops::ShopInvitation,

    /// The whole rule book about cells.
    rule_book = transport::rule_book: Nothing => transport::RuleBookView,
    /// Adds a newer row to the rule book.
    update_rule = transport::update_rule: transport::UpdateRule => transport::RuleBookView,
    /// Records a person's training for lithium shipments.
    record_training = transport::record_training: transport::RecordTraining => transport::RuleBookView,
    /// All that is set up.
    setup = setup::setup: Nothing => setup::SetupView,
    /// Changes the lab's description.
    describe_lab = setup::describe_lab: setup::DescribeLab => setup::SetupView,
    /// Adds or changes a person.
    save_person = setup::save_person: setup::SavePerson => setup::SetupView,
    /// Adds or changes a test.
    save_test = setup::save_test: setup::SaveTest => setup::SetupView,
    /// Every board that is known.
    boards = boards::boards: Nothing => boards::BoardsView,
    /// One board.
    board = boards::board: boards::BoardKey => boards::BoardView,
    /// Adds or changes a board.
    save_board = boards::save_board: boards::SaveBoard => boards::BoardView,
    /// Adds or changes a part of a board.
    save_board_part = boards::save_board_part: boards::SaveBoardPart => boards::BoardView,
    /// Says that heat on one part reaches another, or that it does not.
    set_nearness = boards::set_nearness: boards::SetNearness => boards::BoardView,
    /// Adds a neighbour from the bench.
    add_neighbour = boards::add_neighbour: boards::AddNeighbour => Nothing,
    /// Every lot of parts.
    lots = lots::lots: Nothing => lots::LotsView,
    /// One lot with all that was recorded about it.
    lot = lots::lot: lots::LotKey => lots::LotView,
    /// Adds or changes a lot.
    save_lot = lots::save_lot: lots::SaveLot => lots::LotsView,
    /// Opens or closes a lot's bag.
    set_lot_bag = lots::set_lot_bag: lots::SetLotBag => lots::LotsView,
    /// Records a bake.
    record_bake = lots::record_bake: lots::RecordBake => lots::LotsView,
    /// Every procedure.
    procedures = procedures::procedures: Nothing => procedures::ProceduresView,
    /// Adds or changes a procedure.
    save_procedure = procedures::save_procedure: procedures::SaveProcedure => procedures::ProceduresView,
    /// Sets the folder in which new pictures are picked up.
    set_watched_folder = setup::set_watched_folder: setup::SetWatchedFolder => setup::SetupView,
    /// Says which job's place new pictures from the watched folder go to.
    aim_watched_folder = setup::aim_watched_folder: setup::AimWatchedFolder => Nothing,
    /// What the lab sets itself on its papers.
    paper_setup = paper_setup::paper_setup: Nothing => paper_setup::PaperSetupView,
    /// Sets the mark beside the lab's name on papers.
    set_lab_mark = paper_setup::set_lab_mark: paper_setup::SetLabMark => paper_setup::PaperSetupView,
    /// Takes the mark off papers.
    remove_lab_mark = paper_setup::remove_lab_mark: Nothing => paper_setup::PaperSetupView,
    /// Sets what the lab says on papers in its own words.
    set_paper_texts = paper_setup::set_paper_texts: paper_setup::SetPaperTexts => paper_setup::PaperSetupView,
    /// Draws a paper of an invented job as it will print.
    preview_papers = paper_setup::preview_papers: paper_setup::PreviewPapers => PaperFile,
    /// The printers of this computer, and which are chosen.
    printers = printing::printers: Nothing => printing::PrintersView,
    /// Chooses the printer for a kind of paper at this desktop.
    choose_printer = printing::choose_printer: printing::ChoosePrinter => printing::PrintersView,
    /// Makes a page by which a printer shows whether it keeps true sizes.
    make_test_page = printing::make_test_page: printing::MakeTestPage => PaperFile,
    /// One page of a paper, to be looked at in the window.
    show_page = printing::show_page: printing::ShowPage => printing::ShownPage,
    /// Prints a paper at its true size.
    print_paper = printing::print_paper: printing::PrintPaper => printing::Printed,
    /// Writes a backup.
    back_up = setup::back_up: setup::BackUp => setup::BackedUp,
    /// Checks every entry of the logbook.
    verify_logbook = setup::verify_logbook: Nothing => setup::Verified,
}

#[cfg(test)]
mod tests;
