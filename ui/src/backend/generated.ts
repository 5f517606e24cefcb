// Generated from the desk's command table by `cargo xtask gen-types`. Do not edit.
import { call } from "./call";

/**
 * What came with the device.
 */
export type Accessories = { 
/**
 * Each in words.
 */
items: Array<string>, };

/**
 * Whether a device answers to somebody else's account.
 */
export type AccountLock = "off" | "on" | "not_known";

/**
 * Adds a neighbour from the bench, and the board and the parts with it where they are not known yet.
 */
export type AddNeighbour = { 
/**
 * The job at whose bench it was seen.
 */
job_id: JobId, 
/**
 * The board; none makes one for the job's device.
 */
board: BoardCode | null, 
/**
 * The heated part.
 */
heated: string, 
/**
 * The side it is on, if it is new.
 */
heated_side: BoardSide, 
/**
 * The neighbour.
 */
neighbour: string, 
/**
 * What it is.
 */
description: string, 
/**
 * The side it is on.
 */
side: BoardSide, 
/**
 * The tests that would show harm to it.
 */
serves: Array<TestCode>, };

/**
 * What a shop read of a battery's rating, on the battery or in its maker's data sheet. What it did not say is not known.
 */
export type AdvisedBattery = { 
/**
 * Watt-hours, or volts and milliampere-hours.
 */
rating: CellRating, 
/**
 * How many cells are in it.
 */
cells: AdvisedCells | null, };

/**
 * How many cells a shop says a battery has. More than one makes it a battery, for which the limits are higher.
 */
export type AdvisedCells = "one" | "more";

/**
 * Whether the shop agreed to the standing quote.
 */
export type Agreement = { "kind": "no_quote" } | { "kind": "waiting" } | { "kind": "asked", 
/**
 * Its question.
 */
question: string, } | { "kind": "agreed", 
/**
 * How the answer came.
 */
way: AnswerWay, 
/**
 * When, in milliseconds since 1970.
 */
at_ms: number, } | { "kind": "refused", 
/**
 * When, in milliseconds since 1970.
 */
at_ms: number, };

/**
 * Says where new pictures go.
 */
export type AimWatchedFolder = { 
/**
 * The job that is open, if one is.
 */
job_id: JobId | null, 
/**
 * Its place.
 */
place: PhotoPlace, };

/**
 * Another lawful way that is better, found by asking the same question anew.
 */
export type Alternative = { 
/**
 * What would be done otherwise, such as “by road instead”.
 */
change: string, 
/**
 * The verdict then.
 */
verdict: TransportCode, 
/**
 * The verdict in words.
 */
words: string, 
/**
 * The codes of the marks needed then.
 */
marks: Array<string>, };

/**
 * A shop's answer.
 */
export type Answer = "agree" | "refuse" | "ask";

/**
 * How an answer reached the lab.
 */
export type AnswerWay = "portal" | "told" | "standing_limit";

/**
 * A paper that is to be printed.
 */
export type Asked = { "kind": "made", 
/**
 * Its file name among the papers.
 */
name: string, } | { "kind": "kept", 
/**
 * The hash of its bytes.
 */
file: ContentHash, };

/**
 * How the device stood when it was tested.
 */
export type Assembly = { "kind": "closed" } | { "kind": "open" } | { "kind": "parts_off", 
/**
 * Which, in words.
 */
parts: string, };

/**
 * Writes a backup.
 */
export type BackUp = { 
/**
 * The folder to write it into; made if it isn't there.
 */
path: string, };

/**
 * A backup that was written.
 */
export type BackedUp = { 
/**
 * Where it lies.
 */
path: string, 
/**
 * Entries in it.
 */
entries: number, 
/**
 * Pictures and files in it.
 */
files: number, 
/**
 * Its size in bytes.
 */
size_bytes: number, };

/**
 * What happened to a lot's bag.
 */
export type BagEvent = "opened" | "closed" | "into_dry_cabinet";

/**
 * Something in the Cell bay: a device by its job, or a removed cell.
 */
export type BayKey = { 
/**
 * Its subject: a job or a cell.
 */
subject: Subject, };

/**
 * One line of the bay.
 */
export type BayRow = { 
/**
 * What it is: a job or a cell.
 */
subject: Subject, 
/**
 * Its reference.
 */
reference: string, 
/**
 * The device it is, or was in.
 */
device: string, 
/**
 * The job.
 */
job_id: JobId | null, 
/**
 * The shop's name; empty when unknown.
 */
shop_name: string, 
/**
 * What is known of the cell.
 */
state: CellState, 
/**
 * By how much its reading is overdue, in milliseconds.
 */
overdue_ms: number | null, 
/**
 * What it waits for, in a sentence.
 */
waits_for: string, };

/**
 * Works a job by a procedure.
 */
export type BeginProcedure = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * The procedure.
 */
code: ProcedureCode, };

/**
 * What the bench may do with the device, from best to worst. The order is meant: the worst of several wins.
 */
export type BenchLevel = "clear" | "watch" | "isolate" | "emergency";

/**
 * What a mark is.
 */
export type Blemish = "scratch" | "crack" | "dent" | "chip" | "bend" | "missing_part" | "stain" | "lifted" | "other";

/**
 * What keeps a job from a station.
 */
export type Block = "not_arrived" | "has_left" | "read_only" | "cell_not_checked" | "cell_not_clear" | "cell_undiagnosed" | "identity_missing" | "identity_differs" | "signs_missing" | "tests_not_chosen" | "before_missing" | "quote_missing" | "not_agreed" | "held" | "no_work" | "after_missing" | "fault_not_fixed" | "made_worse" | "neighbour_not_proved" | "disputed" | "outcome_missing" | "report_missing" | "shop_unknown" | "still_failing" | "nothing_fixed" | "not_closed" | "results_differ" | "fault_found" | "work_done" | "diagnosis_missing" | "not_refused" | "hold_point_open" | "jumper_not_accepted";

/**
 * A board that a step can be about, with its parts.
 */
export type BoardChoice = { 
/**
 * Its code.
 */
code: BoardCode, 
/**
 * What it is called.
 */
name: string, 
/**
 * Its parts.
 */
parts: Array<PartChoice>, };

/**
 * The lab's name for a board, stable, such as `MB-N9-1`.
 */
export type BoardCode = string;

/**
 * Which board.
 */
export type BoardKey = { 
/**
 * Its code.
 */
code: BoardCode, };

/**
 * A part of a board.
 */
export type BoardPart = { 
/**
 * The board.
 */
board: BoardCode, 
/**
 * Its designator, in capitals.
 */
designator: string, 
/**
 * What it is.
 */
description: string, 
/**
 * The side it is on.
 */
side: BoardSide, 
/**
 * Its body without balls or leads, once known.
 */
body: PackageBody | null, 
/**
 * Its moisture sensitivity, once known.
 */
moisture: MoistureLevel | null, 
/**
 * The functions it serves, by the tests that would show harm to it.
 */
serves: Array<TestCode>, 
/**
 * True when it was recorded by mistake and is no part of this board.
 */
gone: boolean, };

/**
 * A part with all that hangs on it.
 */
export type BoardPartRow = { 
/**
 * The part.
 */
part: BoardPart, 
/**
 * Its body in words, such as “7 x 7 x 0.9 mm”; empty when not known.
 */
body: string, 
/**
 * What heat on it reaches.
 */
neighbours: Array<Neighbour>, 
/**
 * The tests that show harm to it.
 */
serves: Array<TestName>, 
/**
 * True when two benches described it differently.
 */
disputed: boolean, };

/**
 * One reading on the board, against what this board should show.
 */
export type BoardReading = { 
/**
 * The point, net or rail.
 */
point: string, 
/**
 * What was measured.
 */
measured: Reading, 
/**
 * What it should be, in words; may be empty.
 */
expected: string, };

/**
 * A board reading as typed.
 */
export type BoardReadingInput = { 
/**
 * The point, net or rail.
 */
point: string, 
/**
 * The value.
 */
value: string, 
/**
 * Its unit.
 */
unit: Unit, 
/**
 * What it should be, in words; may be empty.
 */
expected: string, };

/**
 * A board in a row.
 */
export type BoardRow = { 
/**
 * Its code.
 */
code: BoardCode, 
/**
 * What it is called.
 */
name: string, 
/**
 * The maker of its devices.
 */
maker: string, 
/**
 * The models it is in.
 */
models: Array<string>, 
/**
 * Parts that are known.
 */
parts: number, 
/**
 * Pairs that heat reaches together.
 */
pairs: number, 
/**
 * Entries about it: its version.
 */
version: number, 
/**
 * True once it is not offered any more.
 */
retired: boolean, };

/**
 * A side of the board.
 */
export type BoardSide = "top" | "bottom";

/**
 * One board.
 */
export type BoardView = { 
/**
 * The board in a row.
 */
row: BoardRow, 
/**
 * More words; may be empty.
 */
note: string, 
/**
 * Its parts, by designator.
 */
parts: Array<BoardPartRow>, 
/**
 * The tests of the catalogue.
 */
tests: Array<TestName>, 
/**
 * What was recorded about it, oldest first.
 */
trail: Array<TrailLine>, 
/**
 * What its entries are about, for taking one back.
 */
subject: Subject, 
/**
 * The people named in the trail.
 */
people: Array<PersonBrief>, };

/**
 * Every board.
 */
export type BoardsView = { 
/**
 * By maker and name.
 */
boards: Array<BoardRow>, };

/**
 * One row of the rule book.
 */
export type BookRow = { 
/**
 * Stable for ever, such as `SM.CELL.WH` or `R12`. One id may stand under several regimes.
 */
id: string, 
/**
 * What it is.
 */
kind: BookRowKind, 
/**
 * Whose rule it is.
 */
regime: RuleBody, 
/**
 * The number, in `unit`; `None` for rules that compare nothing themselves.
 */
value: number | null, 
/**
 * The unit of `value`.
 */
unit: BookUnit | null, 
/**
 * A list, where the row is one, such as ISO 3166-1 codes of countries.
 */
codes: Array<string>, 
/**
 * The edition of the text it was taken from.
 */
edition: string, 
/**
 * The first ship date it is for.
 */
effective_from: string, 
/**
 * The last ship date it is for; `None` until it is replaced.
 */
effective_to: string | null, 
/**
 * Paragraph or provision.
 */
clause: string, 
/**
 * How sure it is.
 */
certainty: RuleCertainty, 
/**
 * Where it was read.
 */
source: string, 
/**
 * When somebody last compared it with its source.
 */
last_checked: string, 
/**
 * What it says, for people.
 */
text: string, };

/**
 * What a row is.
 */
export type BookRowKind = "edition" | "limit" | "rule" | "bench" | "caution";

/**
 * A row of the rule book, and whether the lab changed it.
 */
export type BookRowView = { 
/**
 * The row.
 */
row: BookRow, 
/**
 * The number with its unit, or the list.
 */
value: string, 
/**
 * The lab's reason, when the row is the lab's own.
 */
changed: string | null, };

/**
 * The unit of a row's value. Values are integers in it.
 */
export type BookUnit = "uwh" | "ug" | "g" | "mm" | "percent" | "pieces" | "mv" | "mah" | "tenths_c" | "minutes" | "wh_per_kg";

/**
 * A row of the file that could not be read.
 */
export type BrokenTraceRow = { 
/**
 * Its line, from 1.
 */
line: number, 
/**
 * What is wrong with it.
 */
why: string, };

/**
 * A caution that stands on every verdict.
 */
export type Caution = { 
/**
 * `C1` to `C8`.
 */
id: string, 
/**
 * The caution.
 */
text: string, };

/**
 * A shop's answer about the cell, given before posting.
 */
export type CellAnswer = "swollen" | "leaking" | "hot" | "burnt" | "pierced" | "recalled" | "wet" | "not_seen" | "dropped";

/**
 * The Cell bay.
 */
export type CellBayView = { 
/**
 * In isolation, or must be: emergencies first, then what is overdue, then what is due next.
 */
isolated: Array<BayRow>, 
/**
 * Watched where it is: readings at set times.
 */
watched: Array<BayRow>, 
/**
 * Cells that left lately.
 */
left: Array<CellRow>, 
/**
 * The instant at which this was put together, in milliseconds since 1970.
 */
now_ms: number, };

/**
 * What was seen and measured on the cell or battery of one device.
 *
 * Everything that was not looked at or measured stays `None` or out of `findings`; absence never counts as good.
 */
export type CellCheck = { 
/**
 * What was seen, smelt, felt or is known. `nothing_wrong` is a finding too: somebody looked.
 */
findings: Array<CellFinding>, 
/**
 * Voltage at rest over the whole cell or battery, in millivolts.
 */
voltage_mv: number | null, 
/**
 * How many cells stand in series; 1 for most phones. The voltage limits are for one cell.
 */
cells_in_series: number | null, 
/**
 * Surface temperature at the hottest place, in tenths of a degree Celsius.
 */
surface_tenths_c: number | null, 
/**
 * Room temperature at the same time, in tenths of a degree Celsius.
 */
room_tenths_c: number | null, 
/**
 * What warmed the device from outside shortly before, if anything did and that is certain.
 */
warmed_by: WarmedBy | null, 
/**
 * The chemistry, as far as it is known.
 */
chemistry: CellChemistry, 
/**
 * What is printed on the cell or battery.
 */
rating: CellRating, 
/**
 * Anything else, in the inspector's words.
 */
note: string, 
/**
 * How many strings of cells stand side by side; 1 for most phones. The voltage says nothing of it; transport counts with it.
 */
cells_in_parallel: number | null, 
/**
 * The bench rules that were the lab's own when it was recorded: it is judged by them, whatever changes later.
 */
rules: Array<UsedBenchRule>, };

/**
 * A cell check as typed. Numbers are texts, as they stand in their fields; an empty field is “not measured”.
 */
export type CellCheckInput = { 
/**
 * What is seen.
 */
findings: Array<CellFinding>, 
/**
 * Resting voltage, such as `3.82`.
 */
voltage: string, 
/**
 * Cells in series; empty when unknown.
 */
cells_in_series: string, 
/**
 * Temperature of the cell's surface, in degrees Celsius.
 */
surface: string, 
/**
 * Temperature of the room, in degrees Celsius.
 */
room: string, 
/**
 * What may have warmed it.
 */
warmed_by: WarmedBy | null, 
/**
 * Its chemistry.
 */
chemistry: CellChemistry, 
/**
 * Watt-hours as printed.
 */
label_wh: string, 
/**
 * Nominal volts as printed.
 */
nominal_v: string, 
/**
 * Capacity in milliampere-hours as printed.
 */
capacity_mah: string, 
/**
 * Highest charge voltage as printed.
 */
charge_max_v: string, 
/**
 * More words.
 */
note: string, 
/**
 * Strings of cells side by side; empty when unknown.
 */
cells_in_parallel: string, };

/**
 * The chemistry of a cell, as far as transport and care tell them apart.
 */
export type CellChemistry = "unknown" | "li_ion" | "li_metal" | "na_ion" | "hybrid";

/**
 * What a cell is, for whatever leaves the house with it. The order is from best to worst.
 */
export type CellDiagnosis = "sound" | "undiagnosed" | "damaged" | "critical";

/**
 * One thing seen, smelt, felt or known about a cell.
 */
export type CellFinding = "nothing_wrong" | "not_seen" | "missing" | "swollen" | "pierced" | "bent" | "leaking" | "solvent_smell" | "hot" | "warming" | "smoking" | "hissing" | "burning" | "burnt" | "vented" | "connector_corroded" | "bare_conductor" | "protection_fault" | "water_reached_it" | "water_near_it" | "hard_drop" | "loses_charge" | "recalled" | "not_the_makers";

/**
 * The cell was handed to a recycler: the record that leaves.
 */
export type CellHandOver = { 
/**
 * Who took it.
 */
recycler: string, 
/**
 * The number of the paper it went with.
 */
paper_number: string, 
/**
 * The day, as `2026-11-25`.
 */
date: string, 
/**
 * More words; may be empty.
 */
note: string, };

/**
 * It stays where it is, for a reason.
 */
export type CellHold = { 
/**
 * What for.
 */
reason: string, };

/**
 * One cell or battery that was taken out of its device: a thing of its own from then on.
 */
export type CellId = string;

/**
 * How a cell left isolation for good.
 */
export type CellLeft = { "kind": "handed_over", 
/**
 * The record that left with it.
 */
record: Marked<CellHandOver>, } | { "kind": "returned", 
/**
 * The record.
 */
record: Marked<CellReturn>, };

/**
 * It was put somewhere in isolation, or moved within it.
 */
export type CellPlacement = { 
/**
 * Where.
 */
place: IsolationPlace, 
/**
 * The position's own label, such as `B3`; may be empty.
 */
position: string, 
/**
 * The bench rules that were the lab's own when it was recorded.
 */
rules: Array<UsedBenchRule>, };

/**
 * The figures printed on a cell or battery.
 */
export type CellRating = { 
/**
 * The watt-hours printed, in microwatt-hours: 19.4 Wh is 19400000.
 */
label_uwh: number | null, 
/**
 * Nominal voltage, in millivolts.
 */
nominal_mv: number | null, 
/**
 * Rated capacity, in milliampere-hours. Where two are printed (rated, typical), the larger.
 */
capacity_mah: number | null, 
/**
 * The highest charge voltage printed, in millivolts, over the whole battery.
 */
charge_max_mv: number | null, };

/**
 * A reading as typed. Numbers are texts, as they stand in their fields; an empty field is “not measured”.
 */
export type CellReadingInput = { 
/**
 * What was seen.
 */
findings: Array<CellFinding>, 
/**
 * Resting voltage, such as `3.82`.
 */
voltage: string, 
/**
 * Cells in series, if that became known.
 */
cells_in_series: string, 
/**
 * Temperature of the surface, in degrees Celsius.
 */
surface: string, 
/**
 * Temperature of the room, in degrees Celsius.
 */
room: string, 
/**
 * What may have warmed it.
 */
warmed_by: WarmedBy | null, 
/**
 * More words.
 */
note: string, };

/**
 * Why the level is what it is.
 */
export type CellReason = { 
/**
 * The rule's id, stable for ever.
 */
rule: string, 
/**
 * The level this rule alone calls for.
 */
level: BenchLevel, 
/**
 * One sentence: what was seen or measured and what that means.
 */
text: string, 
/**
 * Where the rule comes from, edition named where it has one.
 */
source: string, 
/**
 * How sure the source is.
 */
certainty: RuleCertainty, };

/**
 * On the job: the cell was taken out of the device.
 */
export type CellRemoval = { 
/**
 * The cell, a thing of its own from now on.
 */
cell_id: CellId, 
/**
 * More words; may be empty.
 */
note: string, };

/**
 * The cell goes back under the provisions for damaged cells, by ground only, signed by a trained shipper.
 */
export type CellReturn = { 
/**
 * Under which provisions, with their edition.
 */
provisions: string, 
/**
 * The number of the transport paper; may be empty while a device waits to be packed.
 */
paper_number: string, 
/**
 * The day, as `2026-11-25`.
 */
date: string, 
/**
 * More words; may be empty.
 */
note: string, };

/**
 * A removed cell in a row.
 */
export type CellRow = { 
/**
 * The cell.
 */
cell_id: CellId, 
/**
 * Its reference.
 */
reference: string, 
/**
 * The job of the device it was in.
 */
job_id: JobId | null, 
/**
 * The shop of that device.
 */
shop_id: ShopId | null, 
/**
 * The shop's name; empty when unknown.
 */
shop_name: string, 
/**
 * The device, in words.
 */
device: string, 
/**
 * The level it stands at.
 */
level: BenchLevel | null, 
/**
 * True while it lies in isolation, or must.
 */
in_isolation: boolean, 
/**
 * True once it was handed over or returned.
 */
has_left: boolean, 
/**
 * When it asks for the next reading, in milliseconds since 1970.
 */
reading_due_ms: number | null, 
/**
 * When it was taken out, in milliseconds since 1970.
 */
removed_at_ms: number | null, 
/**
 * When something last happened, in milliseconds since 1970.
 */
last_at_ms: number, };

/**
 * What is known of one cell.
 */
export type CellState = { 
/**
 * Every look at it, oldest first.
 */
looks: Array<Look>, 
/**
 * What people with battery knowledge judged, oldest first.
 */
judged: Array<Judging>, 
/**
 * The level it stands at; `None` when nobody has looked and it was never put in isolation.
 */
level: BenchLevel | null, 
/**
 * What the bench must do.
 */
judgement: Judgement | null, 
/**
 * Why, each reason with the time since which it stands, the worst first.
 */
standing: Array<Standing>, 
/**
 * What it is, for whatever leaves the house.
 */
diagnosis: CellDiagnosis, 
/**
 * Where it lies, while it is in isolation.
 */
placed: Marked<CellPlacement> | null, 
/**
 * When its isolation began, in milliseconds since 1970, while it lasts.
 */
isolated_since_ms: number | null, 
/**
 * The next reading, if one is asked for.
 */
next_reading: NextReading | null, 
/**
 * Why it stays, if somebody said so.
 */
held: Marked<CellHold> | null, 
/**
 * How it left, if it did.
 */
left: CellLeft | null, 
/**
 * Of a cell that is in its device: that a trained shipper sends it back under the special provisions. Until the parcel has left it
 * lies here, in isolation, and is looked at.
 */
goes_back: Marked<CellReturn> | null, };

/**
 * What a person with battery knowledge, or the maker's criteria, say of a cell.
 */
export type CellVerdict = "sound" | "damaged";

/**
 * One thing in the bay, with all that its leaf shows.
 */
export type CellView = { 
/**
 * Its line.
 */
row: BayRow, 
/**
 * What is printed on the cell and known of it.
 */
known: CellCheck, 
/**
 * What happened to it, oldest first.
 */
trail: Array<TrailLine>, 
/**
 * The people named in it.
 */
people: Array<PersonBrief>, 
/**
 * Photos of the cell.
 */
photos: Array<Marked<PhotoAdded>>, 
/**
 * Where each photo's bytes are, by hash.
 */
photo_states: { [key in string]: PhotoState }, 
/**
 * True when the person at this desktop may judge a cell.
 */
may_judge: boolean, 
/**
 * True when the person at this desktop is trained to send it under the special provisions.
 */
may_return: boolean, 
/**
 * What keeps it from being judged sound, in sentences; empty when nothing does.
 */
not_soundable: Array<string>, 
/**
 * What to mind, in sentences.
 */
cautions: Array<string>, 
/**
 * That the lab's rules are others than when the cell was last judged, in a sentence.
 */
rules_changed: string | null, 
/**
 * The instant at which this was put together, in milliseconds since 1970.
 */
now_ms: number, };

/**
 * Told to the screen after each change: what to read again.
 */
export type Changed = { "kind": "subjects", 
/**
 * Which.
 */
subjects: Array<Subject>, } | { "kind": "sync" } | { "kind": "folder" } | { "kind": "picture", 
/**
 * What happened, in a sentence.
 */
sentence: string, };

/**
 * How the check digit of a text came out.
 */
export type CheckVerdict = { "verdict": "right" } | { "verdict": "wrong", 
/**
 * Probable readings; empty when no single slip explains it.
 */
likely: Array<LikelyReading>, } | { "verdict": "none" };

/**
 * One answer of a test that is chosen from a list.
 */
export type ChoiceAnswer = { 
/**
 * The answer.
 */
words: string, 
/**
 * True when it counts as passed.
 */
passes: boolean, };

/**
 * Says who is at the desktop.
 */
export type ChoosePerson = { 
/**
 * The person.
 */
person_id: PersonId, };

/**
 * Chooses a printer.
 */
export type ChoosePrinter = { 
/**
 * For what.
 */
kind: PaperKind, 
/**
 * Its name; empty to choose none.
 */
printer: string, };

/**
 * Chooses the tests that the proof rests on.
 */
export type ChooseTests = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * Codes, in the order in which they are done.
 */
codes: Array<TestCode>, 
/**
 * Those of them that show the declared fault.
 */
shows_fault: Array<TestCode>, };

/**
 * One test that this job's proof rests on.
 */
export type ChosenTest = { 
/**
 * The test.
 */
code: TestCode, 
/**
 * Its title when it was chosen.
 */
title: string, 
/**
 * True when it shows the declared fault: the job counts as repaired only when it is fixed.
 */
shows_fault: boolean, 
/**
 * Its version when it was chosen; 0 in choices older than versions by entries.
 */
version: number, 
/**
 * The entry that defined it: the job is tested with this one, whatever the catalogue says later.
 */
definition_id: EntryId | null, };

/**
 * The tests chosen for a job.
 */
export type ChosenTests = { 
/**
 * In the order they are done.
 */
tests: Array<ChosenTest>, };

/**
 * What keeps a job from closing with an outcome.
 */
export type Closing = { 
/**
 * The outcome.
 */
outcome: JobOutcome, 
/**
 * What is missing; empty when it may be set.
 */
missing: Array<Missing>, };

/**
 * One row of the spread: a test, its before, its after, and the joint between.
 */
export type Comparison = { 
/**
 * The test.
 */
code: TestCode, 
/**
 * Its title.
 */
title: string, 
/**
 * Why it is here.
 */
reason: TestReason, 
/**
 * The version it is tested with; 0 when that was never said.
 */
version: number, 
/**
 * The entry that defined that version, if it was said.
 */
definition_id: EntryId | null, 
/**
 * The standing result before, if any.
 */
before: MarkedResult | null, 
/**
 * The standing result after, if any.
 */
after: MarkedResult | null, 
/**
 * Further standing results of benches that had not seen each other, when they differ from the ones shown.
 */
differing: Array<MarkedResult>, 
/**
 * How they compare.
 */
joint: Joint, 
/**
 * Why, one sentence each.
 */
why: Array<string>, 
/**
 * True when the standing results after all pass, taken as the test needs it.
 */
proved: boolean, 
/**
 * True when a standing result after fails.
 */
fails: boolean, 
/**
 * True when it passed before and fails after, comparable or not.
 */
worse: boolean, };

/**
 * One mark on the case, placed on the device's outline.
 */
export type Condition = { 
/**
 * The face.
 */
face: Face, 
/**
 * Thousandths of the face's width from its left.
 */
x_permille: number, 
/**
 * Thousandths of the face's height from its top.
 */
y_permille: number, 
/**
 * What it is.
 */
blemish: Blemish, 
/**
 * More words; may be empty.
 */
note: string, 
/**
 * Photos of it.
 */
photos: Array<ContentHash>, };

/**
 * Connects to a server.
 */
export type ConnectServer = { 
/**
 * The server's address.
 */
url: string, 
/**
 * The one-time code that `sync-server join-code` printed.
 */
code: string, };

/**
 * SHA-256 of a photo's or file's bytes: its name everywhere.
 */
export type ContentHash = string;

/**
 * Counts expected against found.
 */
export type CountParcel = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * Announced devices that are inside.
 */
found: Array<JobId>, 
/**
 * Devices inside that nobody announced.
 */
extra: Array<ExtraDevice>, 
/**
 * More words; the shop sees them.
 */
note: string, };

/**
 * A currency with minor units, by its ISO 4217 code. Gold, test codes and the like have none and are refused.
 */
export type Currency = string;

/**
 * A trained shipper's decision.
 */
export type DecideTransport = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * Why it may go.
 */
reason: string, };

/**
 * The shop's answer to one quote.
 */
export type Decision = { 
/**
 * The quote it answers. A later quote needs an answer of its own.
 */
quote_entry_id: EntryId, 
/**
 * The answer.
 */
answer: Answer, 
/**
 * How it came.
 */
way: AnswerWay, 
/**
 * The shop's words; may be empty.
 */
note: string, };

/**
 * How a measured value is judged against its limits.
 */
export type DecisionRule = "simple_acceptance" | "guarded_acceptance";

/**
 * Describes the device.
 */
export type DescribeDevice = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * What it is.
 */
device: DeviceDescription, };

/**
 * Changes the lab's description.
 */
export type DescribeLab = { 
/**
 * What it is.
 */
lab: LabDescription, };

/**
 * What the screen shows around every place.
 */
export type DeskState = { 
/**
 * The lab, once there is one.
 */
lab: LabBrief | null, 
/**
 * Who is at this desktop.
 */
person: PersonBrief | null, 
/**
 * The lab's people, without those of shops.
 */
people: Array<PersonBrief>, 
/**
 * The line about the server.
 */
sync: SyncLine, 
/**
 * Parcels that wait to be counted.
 */
parcels_to_count: number, 
/**
 * Jobs in the house.
 */
jobs_in_house: number, 
/**
 * Jobs that are ready to be packed.
 */
jobs_to_pack: number, 
/**
 * Cells and devices that lie in isolation, or must.
 */
cells_in_isolation: number, 
/**
 * Cells that stand at level emergency.
 */
cells_in_emergency: number, 
/**
 * Readings of cells that are overdue.
 */
readings_overdue: number, 
/**
 * When the nearest reading that is not overdue yet is due, in milliseconds since 1970.
 */
next_reading_due_ms: number | null, 
/**
 * Values that people disagree on.
 */
disagreements: number, 
/**
 * A sentence when this computer's clock is wrong; empty when it isn't, or nobody knows.
 */
clock_warning: string, 
/**
 * Entries that only a newer version of the program can read.
 */
unknown_entries: number, 
/**
 * This desktop's name.
 */
desktop_name: string, 
/**
 * Where the logbook lies.
 */
folder: string, 
/**
 * The program's version.
 */
version: string, };

/**
 * A desktop of the lab.
 */
export type DesktopRow = { 
/**
 * Its name.
 */
name: string, 
/**
 * Entries it wrote.
 */
entries: number, 
/**
 * True for the one this is.
 */
this_one: boolean, };

/**
 * The device was destroyed.
 */
export type Destruction = { 
/**
 * Why, and by whose agreement.
 */
reason: string, };

/**
 * What a device is.
 */
export type DeviceDescription = { 
/**
 * Its kind.
 */
kind: DeviceKind, 
/**
 * Its maker.
 */
maker: string, 
/**
 * Its model.
 */
model: string, 
/**
 * Its colour or another mark that tells it apart; may be empty.
 */
colour: string, };

/**
 * The kinds of device the lab takes in.
 */
export type DeviceKind = "phone" | "tablet" | "laptop" | "handheld";

/**
 * What is thought to be wrong.
 */
export type Diagnosis = { 
/**
 * In words.
 */
text: string, 
/**
 * The suspected part's designator or net; may be empty.
 */
suspect: string, 
/**
 * Readings on the board.
 */
readings: Array<BoardReading>, };

/**
 * Which way a parcel goes.
 */
export type Direction = "inward" | "outward";

/**
 * A value that people can disagree on.
 */
export type Disputed = "quote" | "outcome" | "device" | "identity" | "signs" | "accessories" | "tests";

/**
 * Parcels on the Dock.
 */
export type DockView = { 
/**
 * Received, not counted: what to do first.
 */
to_count: Array<ParcelRow>, 
/**
 * Announced, not here, oldest first.
 */
awaited: Array<ParcelRow>, 
/**
 * Counted lately, latest first.
 */
counted: Array<ParcelRow>, 
/**
 * All shops, for a parcel that nobody announced.
 */
shops: Array<ShopBrief>, };

/**
 * Something half typed.
 */
export type Draft = { 
/**
 * Which form, of which thing.
 */
key: string, 
/**
 * Its fields, as the screen wrote them.
 */
text: string, };

/**
 * Which draft.
 */
export type DraftKey = { 
/**
 * Which form, of which thing.
 */
key: string, };

/**
 * An earlier stay of a device that came again.
 */
export type EarlierStay = { 
/**
 * The job of that stay.
 */
row: JobRow, 
/**
 * Whether it came back within the warranty of that stay; `None` where that stay gave none.
 */
in_warranty: boolean | null, 
/**
 * The same in words, with the day: “in warranty until 24 May 2027”.
 */
warranty: string, 
/**
 * The report that went back with it.
 */
report: ContentHash | null, };

/**
 * A refusal as the screen gets it.
 */
export type EdgeError = { 
/**
 * What the screen does about it.
 */
code: ErrorCode, 
/**
 * One sentence for the person.
 */
message: string, 
/**
 * The field it belongs to, if it belongs to one.
 */
field: string | null, 
/**
 * What is missing, if that is why.
 */
missing: Array<Missing>, };

/**
 * One entry of the logbook.
 */
export type EntryId = string;

/**
 * A code, only where the screen does something different for it.
 */
export type ErrorCode = "field" | "blocked" | "no_person" | "no_lab" | "not_found" | "refused" | "failed";

/**
 * Something in a job that a person must look at; the facts stand as they are.
 */
export type Exception = { 
/**
 * What is odd, in a sentence.
 */
sentence: string, };

/**
 * A device in a parcel that nobody announced.
 */
export type ExtraDevice = { 
/**
 * Its kind.
 */
kind: DeviceKind, 
/**
 * Its maker.
 */
maker: string, 
/**
 * Its model.
 */
model: string, 
/**
 * Its colour or another mark.
 */
colour: string, 
/**
 * The fault, if a note in the parcel says it.
 */
fault: string, 
/**
 * An identifier, if one can be read.
 */
identifier: string, };

/**
 * A face of the device on which a mark lies.
 */
export type Face = "front" | "back" | "top_edge" | "bottom_edge" | "left_edge" | "right_edge";

/**
 * One finding about the cells of a parcel.
 */
export type FindingCode = "F00" | "F01" | "F02" | "F03" | "F04" | "F05" | "F06" | "F10" | "F11" | "F12" | "F13" | "F14" | "F15" | "F16" | "F17" | "F18" | "F19" | "F20" | "F30" | "F31" | "F40" | "F41";

/**
 * A part that was fitted.
 */
export type FittedPart = { 
/**
 * Its designator on the board.
 */
designator: string, 
/**
 * What it is.
 */
description: string, 
/**
 * Where it came from.
 */
source: PartSource, 
/**
 * Lot, or the donor board's number; may be empty.
 */
lot: string, };

/**
 * What is left of the floor life.
 */
export type FloorLife = { 
/**
 * Whether the part may be soldered without a bake.
 */
usable: boolean, 
/**
 * Milliseconds exposed since the last bake, or since it came.
 */
exposed_ms: number, 
/**
 * Milliseconds left; `None` without a limit, or when it is used up or unknown.
 */
left_ms: number | null, 
/**
 * One sentence.
 */
words: string, };

/**
 * Founds a lab.
 */
export type FoundLab = { 
/**
 * The lab.
 */
lab: LabDescription, 
/**
 * The owner's name.
 */
owner_name: string, 
/**
 * What this desktop is called.
 */
desktop_name: string, };

/**
 * The verdict with which a parcel left.
 */
export type GivenVerdict = { 
/**
 * What was asked.
 */
question: TransportParcel, 
/**
 * What was answered.
 */
verdict: TransportVerdict, };

/**
 * Hands a removed cell to a recycler.
 */
export type HandOverCell = { 
/**
 * The cell.
 */
cell_id: CellId, 
/**
 * Who takes it.
 */
recycler: string, 
/**
 * The number of the paper it goes with.
 */
paper_number: string, 
/**
 * The day; empty for today.
 */
date: string, 
/**
 * More words; may be empty.
 */
note: string, };

/**
 * One edit that no other edit has replaced.
 */
export type Head<T> = { 
/**
 * Who set it and when.
 */
mark: Mark, 
/**
 * What it was set to.
 */
value: T, };

/**
 * What a heating step did to the board.
 */
export type HeatExposure = { 
/**
 * The highest temperature, in degrees Celsius, measured where `measured_at` says.
 */
temperature_c: number, 
/**
 * Seconds at that temperature.
 */
seconds: number, 
/**
 * The heated side.
 */
side: BoardSide, 
/**
 * Parts near enough to be harmed, on both sides, by designator.
 */
neighbours: Array<string>, 
/**
 * The tests that would show harm to them; each must be proved after.
 */
neighbour_tests: Array<ChosenTest>, 
/**
 * The part that was heated, by designator; empty in entries older than this field, and for heat on no part.
 */
part: string, 
/**
 * The board whose knowledge was offered.
 */
board: BoardCode | null, 
/**
 * Where the temperature was measured.
 */
measured_at: MeasuredAt, 
/**
 * Seconds above the alloy's liquidus, if they were taken.
 */
above_liquidus_s: number | null, 
/**
 * The alloy, by its name; empty when it is not known.
 */
alloy: string, 
/**
 * The heated part's body, as the lab knew it then.
 */
body: PackageBody | null, 
/**
 * Whether the cell was off; `None` when nobody said.
 */
cell_off: boolean | null, 
/**
 * Why neighbours or tests differ from what the board's knowledge offered; empty when they don't, or nothing was known.
 */
changed_because: string, };

/**
 * Heat as typed.
 */
export type HeatInput = { 
/**
 * The highest temperature in degrees Celsius.
 */
temperature_c: string, 
/**
 * Seconds at that temperature.
 */
seconds: string, 
/**
 * The heated side.
 */
side: BoardSide, 
/**
 * Parts near enough to be harmed, on both sides.
 */
neighbours: Array<string>, 
/**
 * The tests that would show harm to them.
 */
neighbour_tests: Array<TestCode>, 
/**
 * The heated part; may be empty.
 */
part: string, 
/**
 * The board whose knowledge was offered.
 */
board: BoardCode | null, 
/**
 * Where the temperature was measured.
 */
measured_at: MeasuredAt, 
/**
 * Seconds above the alloy's liquidus; may be empty.
 */
above_liquidus_s: string, 
/**
 * The alloy's name; may be empty.
 */
alloy: string, 
/**
 * Whether the cell is off; none when it is not said.
 */
cell_off: boolean | null, 
/**
 * Why something that the board's knowledge offers is left out.
 */
changed_because: string, };

/**
 * Something to think about before or after heat. Never a permission.
 */
export type HeatWarning = { 
/**
 * One sentence: what is too much, against what.
 */
text: string, 
/**
 * Where the figure comes from.
 */
source: string, };

/**
 * The job waits.
 */
export type Hold = { 
/**
 * For what.
 */
kind: HoldKind, 
/**
 * In words.
 */
note: string, };

/**
 * Says why a cell stays in isolation.
 */
export type HoldCell = { 
/**
 * Which: a job or a cell.
 */
subject: Subject, 
/**
 * What for.
 */
reason: string, };

/**
 * What a job can be made to wait for by a person.
 */
export type HoldKind = "part" | "shop" | "other";

/**
 * Why a job waits.
 */
export type HoldReason = { "kind": "shop_decision" } | { "kind": "shop_asked", 
/**
 * Its question.
 */
question: string, } | { "kind": "part", 
/**
 * Which.
 */
note: string, } | { "kind": "other", 
/**
 * What.
 */
note: string, } | { "kind": "cell_in_isolation" } | { "kind": "missing_from_parcel" } | { "kind": "wrong_item" } | { "kind": "disagreement" };

/**
 * One identifier as read from the device.
 */
export type Identifier = { 
/**
 * What kind it is.
 */
kind: IdentifierKind, 
/**
 * Its canonical text.
 */
text: string, 
/**
 * A warning about its check digit with the likely right reading; empty when right or without one.
 */
warning: string, };

/**
 * What kind of number an identifier is.
 */
export type IdentifierKind = "imei" | "imeisv" | "meid" | "esn" | "eid" | "iccid" | "mac" | "serial";

/**
 * Something worth knowing about a reading that is no matter of its check digit.
 */
export type IdentifierNote = "check_digit_computed" | "software_version_left_out" | "not_programmed" | "test_number" | "filling_left_out" | "unusual_beginning" | "group_address" | "locally_administered" | "withheld";

/**
 * What an identifier was read as.
 */
export type IdentifierReading = { 
/**
 * What kind of number it is.
 */
kind: IdentifierKind, 
/**
 * The number in its one form: upper case, without spaces and dashes (a MAC address with colons).
 */
canonical: string, 
/**
 * Whether its check digit fits.
 */
check: CheckVerdict, 
/**
 * What else is worth knowing.
 */
notes: Array<IdentifierNote>, };

/**
 * An identifier as read.
 */
export type IdentifierReadings = { 
/**
 * What it may be, best first.
 */
readings: Array<IdentifierReading>, 
/**
 * A warning to show beside the field; empty when the check digit is right or there is none.
 */
warning: string, };

/**
 * The identifiers read from the device.
 */
export type Identity = { 
/**
 * In the order read.
 */
identifiers: Array<Identifier>, };

/**
 * What stands in the Cell bay.
 */
export type InBay = { "kind": "device", 
/**
 * Its job.
 */
job_id: JobId, } | { "kind": "cell", 
/**
 * The cell.
 */
cell_id: CellId, };

/**
 * How a device stands in its parcel.
 */
export type InParcel = "expected" | "found" | "missing" | "extra" | "packed";

/**
 * What a reading is taken with, and how well it measures: the accuracy of its data sheet, as “0.5 % of reading + 3 counts”.
 */
export type Instrument = { 
/**
 * Its name, or what kind it is; empty when none is needed.
 */
name: string, 
/**
 * The part of its accuracy that grows with the reading, in millionths of it; 5000 is 0.5 %.
 */
reading_ppm: number, 
/**
 * The fixed part of its accuracy, in counts of its last digit.
 */
counts: number, 
/**
 * One count of its last digit, in millionths of the test's unit; 0 when it is not known.
 */
count_micro: number, 
/**
 * The lowest value it can show, in millionths of the unit.
 */
low_micro: number | null, 
/**
 * The highest value it can show, in millionths of the unit.
 */
high_micro: number | null, };

/**
 * An invitation for one more desktop.
 */
export type Invitation = { 
/**
 * The text to type or scan at the other desktop. It holds the lab's key: it is as secret as the passcodes.
 */
text: string, 
/**
 * Minutes for which it can be used, once.
 */
valid_minutes: number, };

/**
 * Makes a one-time sign-in link.
 */
export type InviteShopUser = { 
/**
 * The shop.
 */
shop_id: ShopId, 
/**
 * The user's e-mail address, by which they sign in later.
 */
email: string, };

/**
 * Where something in isolation lies.
 */
export type IsolationPlace = "bay" | "drum" | "outdoors_box";

/**
 * A return report that was made.
 */
export type IssuedReport = { 
/**
 * Hash of the PDF's bytes; the file travels like a photo.
 */
file: ContentHash, 
/**
 * Its size in bytes.
 */
size_bytes: number, 
/**
 * Digest of the data it was made from: what the paper prints and its QR code leads to.
 */
digest: ContentHash, 
/**
 * Its pages.
 */
pages: number, };

/**
 * All of one job.
 */
export type Job = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * Its reference for people, as `7K3M-2Q9X-T`.
 */
reference: string, 
/**
 * The shop it belongs to, once known.
 */
shop_id: ShopId | null, 
/**
 * The parcel it came or comes in.
 */
parcel_id: ParcelId | null, 
/**
 * What the shop said.
 */
advice: Marked<JobAdvice> | null, 
/**
 * True when nobody announced it.
 */
unannounced: boolean, 
/**
 * What it is, as the lab sees it; the shop's word until then.
 */
device: Register<DeviceDescription>, 
/**
 * When it was found in its parcel.
 */
arrived: Marked<JobArrival> | null, 
/**
 * When it was found missing from its parcel, unless it arrived after all.
 */
missed: Marked<JobArrival> | null, 
/**
 * Cell checks, oldest first. The judgement beside the last one is what follows from all that was seen of the cell before
 * and since, or from its having been taken out; beside the others, from each alone.
 */
cell_checks: Array<JudgedCell>, 
/**
 * What is known of the cell that is in the device now: looks, isolation, the next reading.
 */
cell_state: CellState, 
/**
 * Cells that were taken out of it, oldest first.
 */
cells_removed: Array<Marked<CellRemoval>>, 
/**
 * Identifiers read.
 */
identity: Register<Identity>, 
/**
 * How the identity differs from the advice, in a sentence.
 */
identity_difference: string | null, 
/**
 * Marks on the case, oldest first.
 */
conditions: Array<Marked<Condition>>, 
/**
 * Other signs.
 */
signs: Register<Signs>, 
/**
 * What came with it.
 */
accessories: Register<Accessories>, 
/**
 * Photos, oldest first.
 */
photos: Array<Marked<PhotoAdded>>, 
/**
 * Its passcode.
 */
passcode: Passcode, 
/**
 * Who read it and why.
 */
passcode_openings: Array<Marked<PasscodeOpening>>, 
/**
 * The tests chosen.
 */
tests: Register<ChosenTests>, 
/**
 * All results, oldest first.
 */
results: Array<MarkedResult>, 
/**
 * The spread's rows.
 */
comparison: Array<Comparison>, 
/**
 * Diagnoses, oldest first.
 */
diagnoses: Array<Marked<Diagnosis>>, 
/**
 * The price.
 */
quote: Register<Quote>, 
/**
 * The standing quote's sum, if its lines can be added up.
 */
quote_total: Money | null, 
/**
 * Answers, oldest first, to this quote and earlier ones.
 */
decisions: Array<Marked<Decision>>, 
/**
 * Where the agreement stands.
 */
agreement: Agreement, 
/**
 * Steps of work, oldest first.
 */
steps: Array<Marked<Step>>, 
/**
 * What each of them came to, in the same order.
 */
judged_steps: Array<JudgedStep>, 
/**
 * The procedures it is worked by, in the order in which they were begun.
 */
procedures: Array<JobProcedure>, 
/**
 * Holds that last.
 */
standing_holds: Array<StandingHold>, 
/**
 * Blocks that were passed, with their reasons.
 */
overrides: Array<Marked<Override>>, 
/**
 * How it ended.
 */
outcome: Register<OutcomeRecord>, 
/**
 * Reports made, oldest first.
 */
reports: Array<Marked<IssuedReport>>, 
/**
 * The return parcel it lies in.
 */
packed: Marked<JobParcel> | null, 
/**
 * When it left.
 */
shipped: Marked<JobShipment> | null, 
/**
 * When it was destroyed.
 */
destroyed: Marked<Destruction> | null, 
/**
 * Messages with the shop, oldest first.
 */
messages: Array<Marked<Message>>, 
/**
 * The lab's own notes, oldest first.
 */
notes: Array<Marked<Note>>, 
/**
 * Where it is on its route.
 */
stage: Stage, 
/**
 * Why it waits, if it does.
 */
holds: Array<HoldReason>, 
/**
 * The route, station by station.
 */
route: Array<Stop>, 
/**
 * The station that is next, if any is left.
 */
next: Station | null, 
/**
 * What a person must look at.
 */
exceptions: Array<Exception>, 
/**
 * Entries of kinds this version can't read.
 */
unknown_entries: number, 
/**
 * True when one of those must not be ignored: the job can be read, not worked on, until the program is upgraded.
 */
read_only: boolean, 
/**
 * Milliseconds since 1970 of the latest entry.
 */
last_at_ms: number, };

/**
 * What the shop says about one device.
 */
export type JobAdvice = { 
/**
 * The sender.
 */
shop_id: ShopId, 
/**
 * The parcel it is in or came in.
 */
parcel_id: ParcelId, 
/**
 * The device.
 */
device: DeviceDescription, 
/**
 * Identifier as given by the shop; may be empty.
 */
identifier: string, 
/**
 * The fault in the shop's own words.
 */
fault: string, 
/**
 * What was tried already.
 */
tried: string, 
/**
 * The liquid it met, if any.
 */
liquid: LiquidStory | null, 
/**
 * True when the data on it must be kept.
 */
data_needed: boolean, 
/**
 * What the shop put in with it.
 */
accessories: Array<string>, 
/**
 * What the shop answered about the cell.
 */
cell_answers: Array<CellAnswer>, 
/**
 * The shop's own number for the job; may be empty.
 */
shop_reference: string, 
/**
 * The rating of its battery, as far as the shop read it.
 */
battery?: AdvisedBattery, };

/**
 * A device was, or was not, in its parcel.
 */
export type JobArrival = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * How it differs from its advice, or anything else worth saying; may be empty.
 */
note: string, };

/**
 * One device's stay, from advice to return.
 */
export type JobId = string;

/**
 * Which job.
 */
export type JobKey = { 
/**
 * The job.
 */
job_id: JobId, };

/**
 * How a job ended.
 */
export type JobOutcome = "repaired" | "repaired_in_part" | "no_fault_found" | "not_repairable" | "beyond_economic_repair" | "declined" | "data_only";

/**
 * A job and a return parcel.
 */
export type JobParcel = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, };

/**
 * A procedure that the job is worked by.
 */
export type JobProcedure = { 
/**
 * Who began it and when.
 */
mark: Mark, 
/**
 * The procedure in the version that stood then.
 */
begun: ProcedureBegun, 
/**
 * Its steps with what became of each.
 */
places: Array<ProcedurePlace>, 
/**
 * The first step that is not done, from 0; `None` when all are.
 */
next: number | null, };

/**
 * A job in a row.
 */
export type JobRow = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * Its reference.
 */
reference: string, 
/**
 * Its shop.
 */
shop_id: ShopId | null, 
/**
 * The shop's name; empty when unknown.
 */
shop_name: string, 
/**
 * The kind of device.
 */
kind: DeviceKind, 
/**
 * Maker and model.
 */
device: string, 
/**
 * Identifiers, read or announced.
 */
identifiers: Array<string>, 
/**
 * The declared fault.
 */
fault: string, 
/**
 * Where it is.
 */
stage: Stage, 
/**
 * Why it waits, in words.
 */
holds: Array<string>, 
/**
 * The next station.
 */
next: Station | null, 
/**
 * What is missing before it, in sentences.
 */
missing: Array<string>, 
/**
 * The day it is promised for, as `2026-11-25`; empty when none is.
 */
promised_date: string, 
/**
 * When it came in, in milliseconds since 1970.
 */
arrived_at_ms: number | null, 
/**
 * When something last happened, in milliseconds since 1970.
 */
last_at_ms: number, 
/**
 * Its cell's level, once checked.
 */
cell_level: BenchLevel | null, 
/**
 * True while it lies in isolation, or must.
 */
in_isolation: boolean, 
/**
 * When its cell asks for the next reading, in milliseconds since 1970.
 */
reading_due_ms: number | null, 
/**
 * Values that people disagree on.
 */
disagreements: number, 
/**
 * Things a person must look at.
 */
exceptions: number, 
/**
 * Its outcome in words; empty before.
 */
outcome: string, 
/**
 * The parcel it came or comes in.
 */
parcel_id: ParcelId | null, 
/**
 * The return parcel it lies in.
 */
return_parcel_id: ParcelId | null, 
/**
 * The standing quote's sum.
 */
quote_total: Money | null, };

/**
 * The device left.
 */
export type JobShipment = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * Carrier and number.
 */
tracking: Tracking, };

/**
 * One job with all that the spread shows.
 */
export type JobView = { 
/**
 * The job.
 */
job: Job, 
/**
 * The job in a row, with words for holds and next station.
 */
row: JobRow, 
/**
 * Its shop, once known.
 */
shop: ShopBrief | null, 
/**
 * The parcel it came or comes in.
 */
parcel: ParcelRow | null, 
/**
 * Tests of the catalogue that apply to this kind of device.
 */
tests: Array<SuggestedTest>, 
/**
 * The tests of its proof, each in the version that the job is tested with.
 */
done_with: Array<SuggestedTest>, 
/**
 * What keeps it from each outcome.
 */
closing: Array<Closing>, 
/**
 * Where each photo's bytes are, by hash.
 */
photo_states: { [key in string]: PhotoState }, 
/**
 * What happened to it, oldest first.
 */
trail: Array<TrailLine>, 
/**
 * The people named in it.
 */
people: Array<PersonBrief>, 
/**
 * Earlier jobs of a device with the same identifier.
 */
earlier: Array<EarlierStay>, 
/**
 * What to mind, in sentences.
 */
cautions: Array<string>, 
/**
 * That the lab's rules are others than when the cell was last judged, in a sentence.
 */
cell_rules_changed: string | null, };

/**
 * Joins a lab.
 */
export type JoinLab = { 
/**
 * The invitation, as another desktop showed it.
 */
invitation: string, 
/**
 * What this desktop is called.
 */
desktop_name: string, };

/**
 * How before and after of one test compare.
 */
export type Joint = "fixed" | "still_failing" | "made_worse" | "steady" | "newly_testable" | "not_proved" | "not_comparable" | "not_applicable";

/**
 * Judges a cell.
 */
export type JudgeCell = { 
/**
 * Which: a job or a cell.
 */
subject: Subject, 
/**
 * What it is.
 */
verdict: CellVerdict, 
/**
 * Why, by what criteria.
 */
reason: string, 
/**
 * The entries the person had on screen. What was recorded meanwhile elsewhere is not covered.
 */
seen: Array<EntryId>, };

/**
 * A bake, and whether it set the clock back.
 */
export type JudgedBake = { 
/**
 * The bake.
 */
bake: LotBake, 
/**
 * True when it gives the floor life back.
 */
counts: boolean, 
/**
 * Why, or why not.
 */
words: string, };

/**
 * A cell check with the level it came to.
 */
export type JudgedCell = { 
/**
 * Who and when.
 */
mark: Mark, 
/**
 * What was seen and measured.
 */
check: CellCheck, 
/**
 * What follows from it.
 */
judgement: Judgement, };

/**
 * What a step of work came to.
 */
export type JudgedStep = { 
/**
 * The step.
 */
entry_id: EntryId, 
/**
 * For heat on a named part: which heating of it this was, the first being 1.
 */
pass: number | null, 
/**
 * What to think about, gravest first.
 */
warnings: Array<HeatWarning>, 
/**
 * For a jumper: how its reading compares with what its wire should read.
 */
jumper: JumperVerdict | null, 
/**
 * True for a jumper that was read again later.
 */
read_again: boolean, };

/**
 * What the bench must do.
 */
export type Judgement = { 
/**
 * The worst level any rule calls for.
 */
level: BenchLevel, 
/**
 * The rules that fired, the worst first.
 */
reasons: Array<CellReason>, 
/**
 * What to do, in order.
 */
actions: Array<string>, 
/**
 * When to look again, in minutes from the check; after the last, once a day. Empty when clear or in an emergency.
 */
recheck_minutes: Array<number>, 
/**
 * What applies whatever the level.
 */
cautions: Array<string>, 
/**
 * What is not known and would have to be, before the level can be better or the device can be sent.
 */
unknowns: Array<string>, 
/**
 * The revision of the rules used, to be printed.
 */
rules_revision: string, };

/**
 * A judgement by a person with battery knowledge.
 */
export type Judging = { 
/**
 * Who and when.
 */
mark: Mark, 
/**
 * What it is.
 */
verdict: CellVerdict, 
/**
 * Why.
 */
reason: string, 
/**
 * The entries the person had before them. Looks that are not among them are not covered.
 */
seen: Array<EntryId>, 
/**
 * The bench rules that were the lab's own at the time.
 */
rules: Array<UsedBenchRule>, };

/**
 * A jumper wire that was laid, or read again.
 */
export type Jumper = { 
/**
 * The net, and from where to where when it has several. A later reading of the same net replaces the earlier.
 */
net: string, 
/**
 * The wire.
 */
wire: Wire, 
/**
 * Its length in micrometres.
 */
length_um: number, 
/**
 * How warm the wire was, in tenths of a degree Celsius.
 */
temperature_tenths_c: number, 
/**
 * What was read over it.
 */
reading: JumperReading, };

/**
 * A jumper as typed.
 */
export type JumperInput = { 
/**
 * The net, and from where to where when it has several.
 */
net: string, 
/**
 * The wire: “AWG 40”, or the diameter of its copper such as “0.02 mm”.
 */
wire: string, 
/**
 * Its length in millimetres.
 */
length_mm: string, 
/**
 * What was read over it, in ohms or with a unit such as “474 mΩ”.
 */
measured: string, 
/**
 * What the meter's leads read held together; empty for none, as with four wires.
 */
leads: string, 
/**
 * The meter's expanded uncertainty; empty when not known.
 */
uncertainty: string, 
/**
 * How warm the wire is, in degrees Celsius; empty for 20.
 */
wire_temperature_c: string, };

/**
 * What was read over a jumper.
 */
export type JumperReading = { 
/**
 * Over the jumper, in micro-ohms.
 */
measured_micro_ohm: number, 
/**
 * With the probes held together, in micro-ohms; 0 with four wires.
 */
leads_micro_ohm: number, 
/**
 * The meter's expanded uncertainty, in micro-ohms.
 */
meter_micro_ohm: number, };

/**
 * How a reading compares with what the wire should read.
 */
export type JumperVerdict = { 
/**
 * Whether it reads as it should.
 */
accepted: boolean, 
/**
 * What it should read, in micro-ohms.
 */
expected_micro_ohm: number, 
/**
 * By how much it may differ, in micro-ohms.
 */
tolerance_micro_ohm: number, 
/**
 * One sentence.
 */
words: string, };

/**
 * A draft, if there is one.
 */
export type KeptDraft = { 
/**
 * Its fields, as the screen wrote them.
 */
text: string | null, };

/**
 * The lab in a line.
 */
export type LabBrief = { 
/**
 * The lab.
 */
lab_id: LabId, 
/**
 * Its name.
 */
name: string, 
/**
 * Its IANA zone.
 */
zone: string, 
/**
 * Its currency.
 */
currency: string, 
/**
 * Its country.
 */
country: string, 
/**
 * Its telephone number.
 */
phone: string, };

/**
 * The lab as its papers name it.
 */
export type LabDescription = { 
/**
 * The lab's name.
 */
name: string, 
/**
 * Postal address, one line an element, without the country.
 */
address_lines: Array<string>, 
/**
 * ISO 3166-1 alpha-2 code.
 */
country: string, 
/**
 * Telephone number as printed; the one a shop calls about a dangerous cell.
 */
phone: string, 
/**
 * E-mail address as printed.
 */
email: string, 
/**
 * IANA time zone in which the lab's days are counted.
 */
zone: string, 
/**
 * ISO 4217 code of the lab's own accounts.
 */
currency: string, 
/**
 * Days of warranty that a repair carries unless its outcome says otherwise.
 */
warranty_days: number, };

/**
 * One lab: the partition that nothing crosses.
 */
export type LabId = string;

/**
 * Lets the job go on.
 */
export type LiftHold = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * The hold.
 */
hold_entry_id: EntryId, 
/**
 * In words; may be empty.
 */
note: string, };

/**
 * One probable reading of a text whose check digit is wrong.
 */
export type LikelyReading = { 
/**
 * The whole text with the slip undone; its check digit fits.
 */
text: string, 
/**
 * The slip that would explain what was read.
 */
slip: ReadingSlip, 
/**
 * One sentence for the person who compares.
 */
explanation: string, };

/**
 * A value compared with a limit.
 */
export type LimitChecked = { 
/**
 * The limit's id in the book.
 */
id: string, 
/**
 * What was compared, for people.
 */
what: string, 
/**
 * The value in words; “not known” when it isn't.
 */
value: string, 
/**
 * The limit in words.
 */
limit: string, 
/**
 * Whether the value is known and keeps the limit.
 */
within: boolean, 
/**
 * Paragraph or provision.
 */
clause: string, 
/**
 * How sure that is.
 */
certainty: RuleCertainty, };

/**
 * What passes: a value between the two, both inclusive. A missing side is open.
 */
export type Limits = { 
/**
 * The lowest value that passes, in millionths of the unit.
 */
low_micro: number | null, 
/**
 * The highest value that passes, in millionths of the unit.
 */
high_micro: number | null, };

/**
 * Whether the device met liquid.
 */
export type LiquidStory = { 
/**
 * What it was, in the shop's words.
 */
what: string, 
/**
 * When, in the shop's words.
 */
when: string, };

/**
 * One look at a cell.
 */
export type Look = { 
/**
 * Who and when.
 */
mark: Mark, 
/**
 * How.
 */
kind: LookKind, 
/**
 * What was seen and measured, and nothing else.
 */
check: CellCheck, };

/**
 * How somebody came to look at a cell.
 */
export type LookKind = "check" | "reading";

/**
 * A lot was baked.
 */
export type LotBake = { 
/**
 * The lot.
 */
lot: LotNumber, 
/**
 * When it ended, in milliseconds since 1970.
 */
ended_ms: number, 
/**
 * How long, in whole hours.
 */
hours: number, 
/**
 * The oven, in degrees Celsius.
 */
temperature_c: number, 
/**
 * What the part's maker or its label says of this bake, where it is not the usual one; empty otherwise.
 */
as_maker_says: string, };

/**
 * A lot as it stands when a part of it is chosen.
 */
export type LotChosen = { 
/**
 * What would be recorded.
 */
used: LotUsed, 
/**
 * What a bake would take; empty when none is needed.
 */
bake_words: string, };

/**
 * One thing that was recorded about a lot.
 */
export type LotEvent = { 
/**
 * What, who recorded it and when, and whether it was taken back.
 */
line: TrailLine, 
/**
 * When it happened, in milliseconds since 1970; none for what only describes the lot.
 */
at_ms: number | null, };

/**
 * Which lot.
 */
export type LotKey = { 
/**
 * Its number.
 */
lot: LotNumber, };

/**
 * A lot's number as printed on its bag or reel, in capitals.
 */
export type LotNumber = string;

/**
 * A lot as it came, with what its label says.
 */
export type LotReceipt = { 
/**
 * Its number.
 */
lot: LotNumber, 
/**
 * What the parts are.
 */
description: string, 
/**
 * The level on the label; `None` for parts that moisture does not harm, or without a label.
 */
moisture: MoistureLevel | null, 
/**
 * For level 6, the hours on the label.
 */
label_hours: number | null, 
/**
 * Thickness of a part's body in micrometres, by which it is baked; `None` when not known.
 */
thickness_um: number | null, 
/**
 * True when nobody knows how long it lay open before it came.
 */
history_unknown: boolean, 
/**
 * True once none is left.
 */
used_up: boolean, };

/**
 * One lot.
 */
export type LotRow = { 
/**
 * What its label says.
 */
receipt: LotReceipt, 
/**
 * What is left of its floor life; none for parts that moisture does not harm.
 */
floor_life: FloorLife | null, 
/**
 * True while its bag is open.
 */
open: boolean, 
/**
 * True while it lies in the dry cabinet.
 */
in_dry_cabinet: boolean, 
/**
 * When its bag was last opened, in milliseconds since 1970.
 */
opened_ms: number | null, 
/**
 * Its last bake.
 */
bake: JudgedBake | null, 
/**
 * What a bake would take now, in words; empty when none is needed.
 */
bake_words: string, };

/**
 * A lot that a step took a part from, as its floor life stood then.
 */
export type LotUsed = { 
/**
 * The part's designator on the board.
 */
designator: string, 
/**
 * The lot.
 */
lot: LotNumber, 
/**
 * What was left of its floor life.
 */
floor_life: FloorLife, };

/**
 * One lot with all that was recorded about it.
 */
export type LotView = { 
/**
 * The lot.
 */
row: LotRow, 
/**
 * What was recorded, oldest first, with what was taken back.
 */
events: Array<LotEvent>, 
/**
 * The people named in it.
 */
people: Array<PersonBrief>, 
/**
 * Whose entries these are.
 */
subject: Subject, };

/**
 * Every lot.
 */
export type LotsView = { 
/**
 * Those in use first, by number.
 */
lots: Array<LotRow>, };

/**
 * Makes the return report.
 */
export type MakeReport = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * The page.
 */
size: PaperSize, };

/**
 * Makes a test page.
 */
export type MakeTestPage = { 
/**
 * For which printer.
 */
kind: PaperKind, 
/**
 * The sheet, where it is one.
 */
size: PaperSize, };

/**
 * Who recorded something and when: what a screen prints beside a value.
 */
export type Mark = { 
/**
 * The entry, so that it can be withdrawn or cited.
 */
entry_id: EntryId, 
/**
 * The person.
 */
actor_id: PersonId, 
/**
 * Milliseconds since 1970 by the writer's clock.
 */
at_ms: number, };

/**
 * What kind of thing a mark is: how a paper draws it.
 */
export type MarkKind = "battery_mark" | "words" | "label" | "waybill";

/**
 * The mark on the papers.
 */
export type MarkView = { 
/**
 * The hash of its picture.
 */
hash: ContentHash, 
/**
 * Its width in pixels.
 */
width_px: number, 
/**
 * Its height in pixels.
 */
height_px: number, 
/**
 * A sentence when it will not print crisply; else empty.
 */
doubt: string, 
/**
 * False while another desktop's picture has not come here yet: papers print the name alone.
 */
is_here: boolean, };

/**
 * A value with who recorded it and when.
 */
export type Marked<T> = { 
/**
 * Who and when.
 */
mark: Mark, 
/**
 * What.
 */
value: T, };

/**
 * A recorded result with who and when.
 */
export type MarkedResult = { 
/**
 * Who and when.
 */
mark: Mark, 
/**
 * The result.
 */
result: TestResult, 
/**
 * What it comes to.
 */
verdict: Verdict, 
/**
 * True when the reading lies so near a limit that its uncertainty reaches across.
 */
close: boolean, 
/**
 * How the reading was judged, with its limits and the rule by name; empty where nothing was measured.
 */
judgement: string, 
/**
 * True when a following result of the same test and phase replaced it.
 */
replaced: boolean, };

/**
 * Where a temperature was measured.
 */
export type MeasuredAt = "tool" | "package";

/**
 * A message between lab and shop.
 */
export type Message = { 
/**
 * The side that wrote it.
 */
from: MessageFrom, 
/**
 * Its words.
 */
text: string, };

/**
 * Who wrote a message.
 */
export type MessageFrom = "lab" | "shop";

/**
 * A decimal number with up to six decimals, such as watt-hours or grams, kept in millionths.
 */
export type Millionths = number;

/**
 * One thing that is missing, in a sentence that says the way out.
 */
export type Missing = { 
/**
 * What.
 */
block: Block, 
/**
 * What is wrong and what would be right.
 */
sentence: string, 
/**
 * True when a person with the right may pass it with a reason.
 */
can_be_overridden: boolean, 
/**
 * The tests it is about; empty where it is not about tests.
 */
tests: Array<TestCode>, };

/**
 * Moisture sensitivity level, as on the bag's label.
 */
export type MoistureLevel = "1" | "2" | "2a" | "3" | "4" | "5" | "5a" | "6";

/**
 * An amount of money.
 */
export type Money = { 
/**
 * The amount in minor units: cents for EUR, yen for JPY.
 */
minor: number, 
/**
 * The currency.
 */
currency: Currency, };

/**
 * How heat gets from one part to another.
 */
export type NearWay = "same_side" | "through_board";

/**
 * How the device must stand for a test's result to mean anything.
 */
export type Needs = "nothing" | "attached" | "closed" | "on_bench";

/**
 * A part that heat on another one reaches.
 */
export type Neighbour = { 
/**
 * Its designator.
 */
designator: string, 
/**
 * What it is; empty when it was only named.
 */
description: string, 
/**
 * Where it lies, seen from the heated part; `None` when a side is not known.
 */
way: NearWay | null, 
/**
 * The tests that would show harm to it.
 */
serves: Array<TestCode>, 
/**
 * How it is known; may be empty.
 */
note: string, };

/**
 * The next reading of a cell.
 */
export type NextReading = { 
/**
 * When it is due, in milliseconds since 1970.
 */
due_ms: number, 
/**
 * The plan's id.
 */
plan: string, 
/**
 * The plan in words.
 */
plan_words: string, };

/**
 * A note for the lab.
 */
export type Note = { 
/**
 * Its words.
 */
text: string, };

/**
 * A request or answer that says nothing.
 */
export type Nothing = Record<symbol, never>;

/**
 * Something that was used or seen, and in how many jobs.
 */
export type Often = { 
/**
 * What, in words.
 */
what: string, 
/**
 * In how many jobs.
 */
jobs: number, };

/**
 * Opens a passcode.
 */
export type OpenPasscode = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * Why.
 */
reason: string, };

/**
 * Begins a return parcel.
 */
export type OpenReturnParcel = { 
/**
 * The shop it goes to.
 */
shop_id: ShopId, };

/**
 * A passcode, opened.
 */
export type OpenedPasscode = { 
/**
 * The passcode; the screen shows it and keeps it nowhere.
 */
passcode: string, };

/**
 * What another desktop set while the two were apart.
 */
export type OtherTexts = { 
/**
 * Who set them.
 */
by: string, 
/**
 * What they say.
 */
texts: PaperTexts, };

/**
 * What is ready to go, by shop.
 */
export type OutboundView = { 
/**
 * Shops with something to pack or an open parcel.
 */
groups: Array<ShopGroup>, 
/**
 * Return parcels shipped lately, latest first.
 */
shipped: Array<ParcelRow>, };

/**
 * What a test gave.
 */
export type Outcome = { "kind": "pass" } | { "kind": "fail" } | { "kind": "reading", 
/**
 * The value.
 */
reading: Reading, 
/**
 * What passes.
 */
limits: Limits, 
/**
 * How the value is judged against them.
 */
rule: DecisionRule, } | { "kind": "choice", 
/**
 * The answer.
 */
words: string, 
/**
 * True when it counts as passed.
 */
passes: boolean, } | { "kind": "not_applicable" } | { "kind": "not_testable", 
/**
 * Why.
 */
why: string, };

/**
 * The outcome as recorded.
 */
export type OutcomeRecord = { 
/**
 * How it ended.
 */
outcome: JobOutcome, 
/**
 * What the shop should know; printed.
 */
words: string, 
/**
 * Days of warranty on the work; 0 for none.
 */
warranty_days: number, };

/**
 * Several packages held together on their way, such as in one wrapping.
 */
export type Overpack = { 
/**
 * Whether every mark of every package can be seen from outside.
 */
marks_visible?: boolean, };

/**
 * A block that was passed by a person with the right to do so.
 */
export type Override = { 
/**
 * The block.
 */
block: Block, 
/**
 * Why; it is printed.
 */
reason: string, 
/**
 * The tests it covers; empty for all, where the block is not about tests, and in entries older than this list.
 */
tests: Array<TestCode>, };

/**
 * Passes a block.
 */
export type OverrideBlock = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * The block.
 */
block: Block, 
/**
 * Why; it is printed.
 */
reason: string, };

/**
 * Scans a device into a return parcel.
 */
export type PackDevice = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * The job tag's code, as scanned or typed.
 */
scanned: string, };

/**
 * A package's body without balls or leads.
 */
export type PackageBody = { 
/**
 * Length in micrometres.
 */
length_um: number, 
/**
 * Width in micrometres.
 */
width_um: number, 
/**
 * Thickness in micrometres.
 */
thickness_um: number, };

/**
 * A step of packing, in the order of the hands' work.
 */
export type PackingStep = { 
/**
 * What to do.
 */
text: string, 
/**
 * The clause that asks for it.
 */
clause: string, };

/**
 * A paper that was made.
 */
export type PaperFile = { 
/**
 * Where the PDF lies on this computer.
 */
path: string, 
/**
 * Its file name; the window and the twin serve it by this name.
 */
name: string, 
/**
 * Its size in bytes.
 */
size_bytes: number, };

/**
 * What a paper is printed on.
 */
export type PaperKind = "sheets" | "labels";

/**
 * All that the lab sets itself on its papers.
 */
export type PaperSetupView = { 
/**
 * The mark; none on papers with the name alone.
 */
mark: MarkView | null, 
/**
 * The entry that set or removed the mark last.
 */
mark_entry: EntryId | null, 
/**
 * A sentence when two desktops set different marks while apart; else empty.
 */
mark_disputed: string, 
/**
 * The texts.
 */
texts: PaperTexts, 
/**
 * The entry that set them last.
 */
texts_entry: EntryId | null, 
/**
 * What other desktops set while apart. What is recorded next settles it.
 */
others: Array<OtherTexts>, 
/**
 * The most characters of the warranty's text, the terms and the foot line.
 */
chars_max: [number, number, number], };

/**
 * The page of a paper.
 */
export type PaperSize = "a4" | "letter";

/**
 * What the lab says on its papers in its own words. A line break begins a new paragraph; an empty text prints nothing.
 */
export type PaperTexts = { 
/**
 * On return reports that give a warranty, after the sentence that says how long it lasts.
 */
warranty: string, 
/**
 * At the end of return reports and packing slips.
 */
terms: string, 
/**
 * At the foot of every page: a registration, a tax number.
 */
foot: string, };

/**
 * All of one parcel.
 */
export type Parcel = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * Its reference for people.
 */
reference: string, 
/**
 * Which way it goes.
 */
direction: Direction, 
/**
 * Where it is.
 */
stage: ParcelStage, 
/**
 * The shop it is from or for, once known.
 */
shop_id: ShopId | null, 
/**
 * The shop's notice.
 */
advice: Marked<ParcelAdvice> | null, 
/**
 * Its tracking number.
 */
tracking: Register<Tracking>, 
/**
 * When it came in.
 */
received: Marked<ParcelReceipt> | null, 
/**
 * What was seen on it, oldest first.
 */
findings: Array<Marked<ParcelFindingRecord>>, 
/**
 * True when a finding says that it must not be opened, and no trained person has found it safe since.
 */
danger: boolean, 
/**
 * Why a trained person found it safe to open, if one did.
 */
released: Marked<ParcelRelease> | null, 
/**
 * Photos of it, oldest first.
 */
photos: Array<Marked<PhotoAdded>>, 
/**
 * The count that stands: the last.
 */
count: Marked<ParcelCount> | null, 
/**
 * Devices announced for it.
 */
expected: Array<JobId>, 
/**
 * Devices inside: found at the count, or packed.
 */
inside: Array<JobId>, 
/**
 * Its weight in grams, once weighed.
 */
grams: number | null, 
/**
 * How it goes, as said last.
 */
transport: Marked<TransportPlan> | null, 
/**
 * What a trained shipper decided last.
 */
decision: Marked<TransportDecision> | null, 
/**
 * The verdict with which it left.
 */
verdict: Marked<GivenVerdict> | null, 
/**
 * When it left.
 */
shipped: Marked<Shipment> | null, 
/**
 * When it was begun or announced, in milliseconds since 1970.
 */
begun_at_ms: number, 
/**
 * When something last happened to it, in milliseconds since 1970.
 */
last_at_ms: number, 
/**
 * True when a newer program recorded something that must not be ignored.
 */
read_only: boolean, };

/**
 * A shop's notice of a parcel. Each device in it has a `job.advised` of its own.
 */
export type ParcelAdvice = { 
/**
 * The sender.
 */
shop_id: ShopId, 
/**
 * The devices it says are inside.
 */
job_ids: Array<JobId>, 
/**
 * What the shop wants to say about the parcel.
 */
note: string, };

/**
 * Expected against found.
 */
export type ParcelCount = { 
/**
 * Announced devices that were inside.
 */
found: Array<JobId>, 
/**
 * Announced devices that were not.
 */
missing: Array<JobId>, 
/**
 * Devices inside that nobody announced.
 */
extra: Array<JobId>, 
/**
 * More words.
 */
note: string, };

/**
 * A device of a parcel.
 */
export type ParcelDeviceRow = { 
/**
 * The job.
 */
job: JobRow, 
/**
 * How it stands.
 */
state: InParcel, 
/**
 * What the shop answered about its cell.
 */
cell_answers: Array<CellAnswer>, 
/**
 * What came with it, as announced.
 */
accessories: Array<string>, };

/**
 * Something that can be seen on a parcel before it is opened.
 */
export type ParcelFinding = "sound" | "crushed" | "wet" | "opened" | "retaped" | "torn" | "bulging" | "warm" | "smoking" | "other";

/**
 * What was seen on a parcel.
 */
export type ParcelFindingRecord = { 
/**
 * What.
 */
findings: Array<ParcelFinding>, 
/**
 * More words.
 */
note: string, };

/**
 * One box, inward or outward.
 */
export type ParcelId = string;

/**
 * Which parcel.
 */
export type ParcelKey = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, };

/**
 * A paper of a return parcel, and how it must be printed.
 */
export type ParcelPaper = { 
/**
 * What it is for.
 */
kind: ParcelPaperKind, 
/**
 * The PDF.
 */
paper: PaperFile, 
/**
 * How often it is printed.
 */
copies: number, 
/**
 * How many marks, labels or sentences stand on one copy.
 */
pieces: number, 
/**
 * Whether it means nothing at another size: 100 %, no scaling.
 */
true_size: boolean, };

/**
 * What a paper of a return parcel is for.
 */
export type ParcelPaperKind = "packing_instruction" | "battery_mark" | "words" | "waybill_sentence";

/**
 * A parcel was taken over from its carrier.
 */
export type ParcelReceipt = { 
/**
 * What was scanned to take it in, verbatim; empty when nothing was.
 */
scanned: string, 
/**
 * Where: the lab's name for the place.
 */
read_point: string, };

/**
 * A trained person found it safe to open. It covers the findings that the entry names as seen, and no other.
 */
export type ParcelRelease = { 
/**
 * What was found, and why it may be opened.
 */
reason: string, };

/**
 * A parcel in a row.
 */
export type ParcelRow = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * Its reference.
 */
reference: string, 
/**
 * Which way it goes.
 */
direction: Direction, 
/**
 * Where it is.
 */
stage: ParcelStage, 
/**
 * The shop it is from or for.
 */
shop_id: ShopId | null, 
/**
 * Its name; empty when unknown.
 */
shop_name: string, 
/**
 * The carrier; empty when unknown.
 */
carrier: string, 
/**
 * The tracking number; empty when unknown.
 */
tracking: string, 
/**
 * Devices announced.
 */
expected: number, 
/**
 * Devices inside.
 */
inside: number, 
/**
 * Announced devices that were not inside.
 */
missing: number, 
/**
 * True when it must not be opened.
 */
danger: boolean, 
/**
 * When it was announced or begun, in milliseconds since 1970.
 */
begun_at_ms: number, 
/**
 * When it was received, in milliseconds since 1970.
 */
received_at_ms: number | null, 
/**
 * When it was shipped, in milliseconds since 1970.
 */
shipped_at_ms: number | null, 
/**
 * When something last happened, in milliseconds since 1970.
 */
last_at_ms: number, };

/**
 * Where a parcel is.
 */
export type ParcelStage = "advised" | "received" | "counted" | "packing" | "shipped";

/**
 * One parcel with all that belongs to it.
 */
export type ParcelView = { 
/**
 * The parcel.
 */
parcel: Parcel, 
/**
 * Its shop, once known.
 */
shop: ShopBrief | null, 
/**
 * Its devices.
 */
devices: Array<ParcelDeviceRow>, 
/**
 * Where each photo's bytes are, by hash.
 */
photo_states: { [key in string]: PhotoState }, 
/**
 * What happened to it, oldest first.
 */
trail: Array<TrailLine>, 
/**
 * The people named in it.
 */
people: Array<PersonBrief>, 
/**
 * What to mind, in sentences.
 */
cautions: Array<string>, 
/**
 * For a return parcel: what keeps it from being shipped, in sentences.
 */
not_ready: Array<string>, };

/**
 * A part that can be heated.
 */
export type PartChoice = { 
/**
 * Its designator.
 */
designator: string, 
/**
 * What it is.
 */
description: string, 
/**
 * The side it is on.
 */
side: BoardSide, };

/**
 * Where a part came from.
 */
export type PartSource = "new" | "donor" | "own";

/**
 * Where a job's passcode is.
 */
export type Passcode = { "kind": "none" } | { "kind": "sealed", 
/**
 * The sealed entry.
 */
entry_id: EntryId, } | { "kind": "destroyed", 
/**
 * Milliseconds since 1970.
 */
at_ms: number, };

/**
 * Somebody read a passcode.
 */
export type PasscodeOpening = { 
/**
 * The sealed entry.
 */
sealed_entry_id: EntryId, 
/**
 * Why.
 */
reason: string, };

/**
 * What the lab's own past says of a fault.
 */
export type Past = { 
/**
 * Jobs with this fault on this model in which the repair was tried, and those of them that were repaired.
 */
fixed: Rate, 
/**
 * The rate in words, never a bare percentage.
 */
fixed_words: string, 
/**
 * From the first step of work to the last test after, of those that were repaired.
 */
bench_minutes: Spread | null, 
/**
 * Parts fitted in those that were repaired, the most frequent first.
 */
parts: Array<Often>, 
/**
 * Other tests that failed before, the most frequent first.
 */
also_failed: Array<Often>, 
/**
 * How repairs of this fault last, on any model.
 */
lasting: Survival, 
/**
 * The job to go by, if one was repaired.
 */
precedent: Precedent | null, };

/**
 * The past of one job's fault.
 */
export type PastView = { 
/**
 * The model, in words; empty when it is not described yet.
 */
model: string, 
/**
 * The tests that show the fault, by their titles. Empty until they are chosen: then nothing can be told.
 */
fault: Array<string>, 
/**
 * What became of like jobs; none without a fault.
 */
past: Past | null, 
/**
 * The lines of the quote of the job to go by, as they would be typed for this shop: amounts in another currency are left empty.
 */
quote_lines: Array<QuoteLineInput>, 
/**
 * How the figures are meant, in a sentence.
 */
definition: string, };

/**
 * A person in a line.
 */
export type PersonBrief = { 
/**
 * The person.
 */
person_id: PersonId, 
/**
 * The name.
 */
name: string, 
/**
 * What the person does.
 */
roles: Array<Role>, 
/**
 * True for a shop's user.
 */
of_a_shop: boolean, 
/**
 * True once the person has left.
 */
left: boolean, };

/**
 * One person: of the lab, or a user of a shop.
 */
export type PersonId = string;

/**
 * Before or after the work.
 */
export type Phase = "before" | "after";

/**
 * A photo that stands in the logbook. Its bytes travel apart, under its hash.
 */
export type PhotoAdded = { 
/**
 * Hash of the picture's bytes.
 */
hash: ContentHash, 
/**
 * Bytes of the picture.
 */
size_bytes: number, 
/**
 * Pixels across.
 */
width_px: number, 
/**
 * Pixels down.
 */
height_px: number, 
/**
 * Where it belongs.
 */
place: PhotoPlace, 
/**
 * What it shows; may be empty.
 */
caption: string, 
/**
 * The photo from before that this one is set beside; only for photos taken after.
 */
beside: ContentHash | null, };

/**
 * Where a photo belongs in the notebook.
 */
export type PhotoPlace = "parcel" | "condition" | "cell" | "before" | "diagnosis" | "work" | "after" | "packing";

/**
 * Where a photo's bytes are.
 */
export type PhotoState = "waiting" | "sent" | "elsewhere";

/**
 * Where a picture goes.
 */
export type PhotoTarget = { 
/**
 * The job or parcel.
 */
subject: Subject, 
/**
 * Its place in the notebook.
 */
place: PhotoPlace, 
/**
 * What it shows; may be empty.
 */
caption: string, 
/**
 * The picture from before that it is set beside, for one taken after.
 */
beside: ContentHash | null, };

/**
 * Lets the job wait.
 */
export type PlaceHold = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * For what.
 */
kind: HoldKind, 
/**
 * In words.
 */
note: string, };

/**
 * Puts something in isolation, or elsewhere in it.
 */
export type PlaceInIsolation = { 
/**
 * What: a job or a cell.
 */
subject: Subject, 
/**
 * Where.
 */
place: IsolationPlace, 
/**
 * The position's own label; may be empty.
 */
position: string, };

/**
 * Writes to the shop.
 */
export type PostMessage = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * The words.
 */
text: string, };

/**
 * The latest like job that was closed as repaired and has not come back.
 */
export type Precedent = { 
/**
 * That job.
 */
job_id: JobId, 
/**
 * How it is called.
 */
reference: string, 
/**
 * What was thought to be wrong in the end.
 */
diagnosis: string, 
/**
 * The part or net that was suspected; may be empty.
 */
suspect: string, 
/**
 * What was asked for it.
 */
quote: Array<QuoteLine>, 
/**
 * The steps beside its procedures, in their order.
 */
steps: Array<Step>, };

/**
 * Asks for a look at a paper.
 */
export type PreviewPapers = { 
/**
 * Which.
 */
paper: PreviewedPaper, 
/**
 * On which sheet.
 */
size: PaperSize, };

/**
 * A step that is being typed.
 */
export type PreviewStep = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * Its heat, if any.
 */
heat: HeatInput | null, 
/**
 * Its parts.
 */
parts: Array<FittedPart>, 
/**
 * Its jumper, if any.
 */
jumper: JumperInput | null, };

/**
 * A paper that can be looked at before there is a job for it.
 */
export type PreviewedPaper = "report" | "packing_slip" | "inward_slip";

/**
 * Prints a bay label.
 */
export type PrintBayLabel = { 
/**
 * What it is for.
 */
of: InBay, 
/**
 * On what: a roll, or a whole sheet.
 */
stock: TagStock, };

/**
 * Prints the record that goes with a cell handed to a recycler.
 */
export type PrintHandover = { 
/**
 * The cell.
 */
cell_id: CellId, 
/**
 * The page.
 */
size: PaperSize, };

/**
 * Prints job tags.
 */
export type PrintJobTags = { 
/**
 * The jobs.
 */
job_ids: Array<JobId>, 
/**
 * On what.
 */
stock: TagStock, 
/**
 * The first free label of a sheet, from 1.
 */
first_label: number, };

/**
 * Prints a packing slip.
 */
export type PrintPackingSlip = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * The page.
 */
size: PaperSize, };

/**
 * Prints a paper.
 */
export type PrintPaper = { 
/**
 * The paper.
 */
paper: Asked, 
/**
 * How many.
 */
copies: number, };

/**
 * Prints the papers of a return parcel.
 */
export type PrintTransportPapers = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * The question its verdict answers.
 */
question: TransportParcel, 
/**
 * Name of the person who signs as shipper; may be empty, and is then written by hand.
 */
shipper: string, 
/**
 * True when the package is too small for a mark of 100 x 100 mm.
 */
small_marks: boolean, 
/**
 * The page.
 */
size: PaperSize, };

/**
 * What became of a paper.
 */
export type Printed = { 
/**
 * The printer that took it, as a person calls it.
 */
printer: string, 
/**
 * A sentence when the printer took it but doesn't print now; else empty.
 */
doubt: string, };

/**
 * A battery mark that is already printed or in stock, as measured.
 */
export type PrintedMark = { 
/**
 * Width in millimetres.
 */
width_mm: number | null, 
/**
 * Height in millimetres.
 */
height_mm: number | null, 
/**
 * Width of the hatched edge in millimetres.
 */
hatching_mm: number | null, 
/**
 * Whether it shows a telephone number.
 */
phone_number?: boolean, 
/**
 * Whether anything was added inside the hatched edge, beside symbol and UN number.
 */
added_inside?: boolean, 
/**
 * Whether it is folded over an edge of the package.
 */
folded_over_edge?: boolean, 
/**
 * Whether the package is too small for the full size.
 */
package_too_small?: boolean, };

/**
 * A printer of the system.
 */
export type Printer = { 
/**
 * The name under which the system knows it.
 */
name: string, 
/**
 * What a person calls it; the name when nobody said.
 */
description: string, 
/**
 * Whether it works.
 */
state: PrinterState, 
/**
 * What the system says of it, such as why it stands still; may be empty.
 */
says: string, 
/**
 * True for the one that the system prints on when nobody says which.
 */
is_default: boolean, };

/**
 * The printers chosen at this desktop, by name; empty where none was chosen.
 */
export type PrinterChoice = { 
/**
 * For whole sheets; empty for the system's own default.
 */
sheets: string, 
/**
 * For the roll of labels.
 */
labels: string, };

/**
 * Whether a printer works.
 */
export type PrinterState = "ready" | "printing" | "stopped";

/**
 * The printers of this computer.
 */
export type PrintersView = { 
/**
 * All of them, in the system's order.
 */
printers: Array<Printer>, 
/**
 * Which are chosen at this desktop.
 */
chosen: PrinterChoice, 
/**
 * Why there are none, in a sentence; empty when there are.
 */
trouble: string, };

/**
 * A procedure of the lab; a later definition with the same code follows this one.
 */
export type Procedure = { 
/**
 * Its code.
 */
code: ProcedureCode, 
/**
 * Counts definitions of this code, from 1.
 */
version: number, 
/**
 * What it is called.
 */
name: string, 
/**
 * Its steps, in order.
 */
steps: Array<ProcedureStep>, 
/**
 * True once the lab works by it no more; jobs that were worked by it keep it.
 */
retired: boolean, };

/**
 * A job is worked by a procedure from now on, in the version that stood then.
 */
export type ProcedureBegun = { 
/**
 * The procedure, whole, so that the job can be read without the lab's entries.
 */
procedure: Procedure, 
/**
 * The entry that defined it.
 */
definition_id: EntryId, };

/**
 * The lab's own code for a procedure, such as `HP-03`.
 */
export type ProcedureCode = string;

/**
 * Which step of which begun procedure a step of work is, and what it came to.
 */
export type ProcedureDone = { 
/**
 * The entry by which the job began the procedure.
 */
begun_id: EntryId, 
/**
 * Its place, from 0.
 */
index: number, 
/**
 * For a hold point: whether its result allows the work to go on. True for other steps.
 */
passed: boolean, 
/**
 * For a hold point: what was found, in words; empty for other steps.
 */
result: string, };

/**
 * A procedure by its name.
 */
export type ProcedureName = { 
/**
 * Its code.
 */
code: string, 
/**
 * What it is called.
 */
name: string, 
/**
 * Its steps.
 */
steps: number, };

/**
 * One step of a procedure on one job.
 */
export type ProcedurePlace = { 
/**
 * What is to be done.
 */
step: ProcedureStep, 
/**
 * Who last recorded it and when, if anyone did.
 */
recorded: Mark | null, 
/**
 * Who witnessed that.
 */
witness_id: PersonId | null, 
/**
 * What was found, for a hold point.
 */
result: string, 
/**
 * True when the work may go on from here.
 */
passed: boolean, };

/**
 * One step of a procedure.
 */
export type ProcedureStep = { 
/**
 * What is done.
 */
text: string, 
/**
 * True when the work may not go on without its result.
 */
hold_point: boolean, 
/**
 * True when a second person must have seen that result.
 */
needs_witness: boolean, };

/**
 * Every procedure.
 */
export type ProceduresView = { 
/**
 * Those in use first, by code.
 */
procedures: Array<Procedure>, };

/**
 * A price for the shop.
 */
export type Quote = { 
/**
 * Its lines, all in one currency.
 */
lines: Array<QuoteLine>, 
/**
 * What returning it unrepaired costs.
 */
fee_if_refused: Money, 
/**
 * The day it is promised for, as `2026-11-25`; empty when none is.
 */
promised_date: string, 
/**
 * More words; may be empty.
 */
note: string, };

/**
 * One line of a quote.
 */
export type QuoteLine = { 
/**
 * What for.
 */
text: string, 
/**
 * How much.
 */
amount: Money, };

/**
 * A line of a quote as typed.
 */
export type QuoteLineInput = { 
/**
 * What for.
 */
text: string, 
/**
 * How much, such as `89.00`.
 */
amount: string, };

/**
 * What to show.
 */
export type RackFilter = { 
/**
 * Only this shop's jobs.
 */
shop_id: ShopId | null, 
/**
 * Only jobs at this stage.
 */
stage: Stage | null, 
/**
 * Only jobs that hold all of these words.
 */
words: string, 
/**
 * True to show returned and destroyed jobs too.
 */
with_returned: boolean, };

/**
 * The Rack.
 */
export type RackView = { 
/**
 * Jobs, the most pressing first.
 */
rows: Array<JobRow>, 
/**
 * Jobs that fit but are not shown, because there are too many.
 */
rows_left_out: number, 
/**
 * How many jobs are at each stage, whatever the filter.
 */
stages: Array<StageCount>, 
/**
 * The day it is at the lab, as `2026-11-25`, for telling what is late.
 */
today: string, 
/**
 * All shops, for the filter.
 */
shops: Array<ShopBrief>, };

/**
 * So many of so many.
 */
export type Rate = { 
/**
 * How often it was so.
 */
hits: number, 
/**
 * How often it could have been.
 */
count: number, };

/**
 * A measured value.
 */
export type Reading = { 
/**
 * Millionths of the unit.
 */
micro: number, 
/**
 * The unit.
 */
unit: Unit, 
/**
 * Expanded uncertainty of the instrument (k = 2), in millionths of the unit, if known.
 */
uncertainty_micro: number | null, };

/**
 * A slip of the eye or the hand. Positions count from 1.
 */
export type ReadingSlip = { "slip": "misread", 
/**
 * Which character.
 */
position: number, 
/**
 * What was read.
 */
read: string, 
/**
 * What it may have been.
 */
meant: string, } | { "slip": "swapped", 
/**
 * The first of the two.
 */
position: number, } | { "slip": "check_digit", 
/**
 * What was read.
 */
read: string, 
/**
 * What belongs there.
 */
meant: string, };

/**
 * Takes a parcel in.
 */
export type ReceiveParcel = { 
/**
 * The announced parcel, if it is one.
 */
parcel_id: ParcelId | null, 
/**
 * What was scanned; may be empty.
 */
scanned: string, 
/**
 * The shop, for a parcel that nobody announced; may be chosen later.
 */
shop_id: ShopId | null, };

/**
 * Records what came with the device.
 */
export type RecordAccessories = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * Each in words.
 */
items: Array<string>, };

/**
 * Records a bake.
 */
export type RecordBake = { 
/**
 * The lot.
 */
lot: LotNumber, 
/**
 * When it ended, as `2026-11-25 14:05` in the lab's time; empty for now.
 */
ended: string, 
/**
 * Whole hours, as typed.
 */
hours: string, 
/**
 * The oven in degrees Celsius, as typed.
 */
temperature_c: string, 
/**
 * What the part's maker says of it; empty for the usual bake.
 */
as_maker_says: string, };

/**
 * Records a cell check.
 */
export type RecordCellCheck = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * What was seen and measured.
 */
check: CellCheckInput, };

/**
 * Records one mark on the case.
 */
export type RecordCondition = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * The mark.
 */
condition: Condition, };

/**
 * Records an answer that the shop gave by word.
 */
export type RecordDecision = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * The answer.
 */
answer: Answer, 
/**
 * Who said it and how, or what was asked.
 */
note: string, };

/**
 * Records what is thought to be wrong.
 */
export type RecordDiagnosis = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * In words.
 */
text: string, 
/**
 * The suspected part or net; may be empty.
 */
suspect: string, 
/**
 * Readings on the board.
 */
readings: Array<BoardReadingInput>, };

/**
 * Records the identifiers read from the device.
 */
export type RecordIdentity = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * Each as scanned or typed.
 */
texts: Array<string>, };

/**
 * Writes a note for the lab.
 */
export type RecordNote = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * The words.
 */
text: string, };

/**
 * Records what is seen on a parcel.
 */
export type RecordParcelFindings = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * What is seen.
 */
findings: Array<ParcelFinding>, 
/**
 * More words.
 */
note: string, };

/**
 * Records one test's result.
 */
export type RecordResult = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * Before or after.
 */
phase: Phase, 
/**
 * The test.
 */
code: TestCode, 
/**
 * What it gave.
 */
result: ResultInput, 
/**
 * A short note; may be empty.
 */
note: string, 
/**
 * Evidence.
 */
photos: Array<ContentHash>, 
/**
 * How the device stood; not asked for a test that is done on the open board.
 */
assembly: Assembly | null, 
/**
 * The current trace that it was read from.
 */
trace: TraceFile | null, };

/**
 * Records locks, seals and indicators.
 */
export type RecordSigns = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * The signs.
 */
signs: Signs, };

/**
 * Records a step of work.
 */
export type RecordStep = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * What was done.
 */
text: string, 
/**
 * The lab's own procedure code; may be empty.
 */
procedure: string, 
/**
 * The tool; may be empty.
 */
tool: string, 
/**
 * Parts fitted.
 */
parts: Array<FittedPart>, 
/**
 * Heat, if any was used.
 */
heat: HeatInput | null, 
/**
 * Who witnessed it, where it is a hold point.
 */
witness_id: PersonId | null, 
/**
 * Photos of it.
 */
photos: Array<ContentHash>, 
/**
 * Its place in a procedure that the job is worked by.
 */
in_procedure: StepOfProcedure | null, 
/**
 * The jumper it laid or read again.
 */
jumper: JumperInput | null, };

/**
 * Records a person's training.
 */
export type RecordTraining = { 
/**
 * The person.
 */
person_id: PersonId, 
/**
 * Its last day, as `2028-05-31`.
 */
until: string, 
/**
 * What it was.
 */
note: string, };

/**
 * Says how a return parcel goes.
 */
export type RecordTransport = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * How it goes.
 */
plan: TransportPlan, };

/**
 * A dispatch advice that was refused because of its cell.
 */
export type RefusedAdvice = { 
/**
 * The device, in the shop's words.
 */
device: string, 
/**
 * The answers that made the post out of the question.
 */
answers: Array<CellAnswer>, };

/**
 * A replaceable value with everything needed to show a disagreement. The latest head comes first.
 */
export type Register<T> = { 
/**
 * The unreplaced edits, latest first; empty when it was never set.
 */
heads: Array<Head<T>>, };

/**
 * Finds a dangerous parcel safe to open.
 */
export type ReleaseParcel = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * What was found, and why it may be opened.
 */
reason: string, };

/**
 * Records that a cell was taken out of its device.
 */
export type RemoveCell = { 
/**
 * The device's job.
 */
job_id: JobId, 
/**
 * Where the cell lies now.
 */
place: IsolationPlace, 
/**
 * The position's own label; may be empty.
 */
position: string, 
/**
 * More words; may be empty.
 */
note: string, };

/**
 * The answer with its words.
 */
export type ReportCheck = { 
/**
 * The answer.
 */
standing: ReportStanding, 
/**
 * The job's reference, where the log knows the report.
 */
job_reference: string | null, 
/**
 * One or two sentences for people.
 */
words: string, };

/**
 * The answer.
 */
export type ReportStanding = "genuine" | "superseded" | "withdrawn" | "pages_unproved" | "not_known_yet" | "altered" | "other_lab" | "no_report";

/**
 * Restores a lab from a backup.
 */
export type RestoreLab = { 
/**
 * The folder that “Back up” wrote.
 */
path: string, };

/**
 * A result as typed.
 */
export type ResultInput = { "kind": "pass" } | { "kind": "fail" } | { "kind": "reading", 
/**
 * The value, alone or with its unit; several readings of the same with semicolons between count by their mean.
 */
value: string, 
/**
 * The expanded uncertainty; when empty it is worked out from the instrument and the repeats, where they tell it.
 */
uncertainty: string, } | { "kind": "choice", 
/**
 * The answer, as the test words it.
 */
words: string, } | { "kind": "not_applicable" } | { "kind": "not_testable", 
/**
 * Why.
 */
why: string, };

/**
 * Sends a cell back under the provisions for damaged cells.
 */
export type ReturnCell = { 
/**
 * Which: a job or a cell.
 */
subject: Subject, 
/**
 * Under which provisions, with their edition.
 */
provisions: string, 
/**
 * The number of the transport paper; may be empty for a device that is yet to be packed.
 */
paper_number: string, 
/**
 * The day; empty for today.
 */
date: string, 
/**
 * More words; may be empty.
 */
note: string, };

/**
 * What a person does in the lab.
 */
export type Role = "receiver" | "technician" | "second_pair" | "shipper" | "cell_expert" | "owner" | "shop_user";

/**
 * Whose rule a row is.
 */
export type RuleBody = "US_HMR" | "ADR" | "AIR" | "USPS" | "POST" | "CARRIER" | "BENCH" | "ANY";

/**
 * The whole rule book.
 */
export type RuleBookView = { 
/**
 * Its state, as papers name it.
 */
revision: string, 
/**
 * Its rows.
 */
rows: Array<BookRowView>, 
/**
 * Whether the person at this desktop may change it.
 */
may_edit: boolean, 
/**
 * Who is trained.
 */
people: Array<TrainedPerson>, };

/**
 * How sure the source of a rule is.
 */
export type RuleCertainty = "primary" | "secondary" | "from_memory" | "own_derivation";

/**
 * A rule that fired.
 */
export type RuleFired = { 
/**
 * The rule's id in the book.
 */
id: string, 
/**
 * The verdict this rule alone calls for.
 */
verdict: TransportCode, 
/**
 * What it says here, in one sentence.
 */
text: string, 
/**
 * Whose rule it is.
 */
regime: RuleBody, 
/**
 * Paragraph or provision.
 */
clause: string, 
/**
 * The edition used.
 */
edition: string, 
/**
 * How sure that is.
 */
certainty: RuleCertainty, 
/**
 * Where it was read.
 */
source: string, 
/**
 * When it was last compared with its source.
 */
last_checked: string, };

/**
 * Adds or changes a board.
 */
export type SaveBoard = { 
/**
 * Its code.
 */
code: string, 
/**
 * What it is called.
 */
name: string, 
/**
 * The maker of its devices.
 */
maker: string, 
/**
 * The models it is in.
 */
models: Array<string>, 
/**
 * More words; may be empty.
 */
note: string, 
/**
 * True when it is not to be offered any more.
 */
retired: boolean, };

/**
 * Adds or changes a part.
 */
export type SaveBoardPart = { 
/**
 * The board.
 */
board: BoardCode, 
/**
 * Its designator.
 */
designator: string, 
/**
 * What it is.
 */
description: string, 
/**
 * The side it is on.
 */
side: BoardSide, 
/**
 * Length of its body in millimetres, as typed; empty when not known.
 */
length: string, 
/**
 * Width, likewise.
 */
width: string, 
/**
 * Thickness, likewise.
 */
thickness: string, 
/**
 * Its moisture sensitivity, once known.
 */
moisture: MoistureLevel | null, 
/**
 * The tests that would show harm to it.
 */
serves: Array<TestCode>, 
/**
 * True when it is no part of this board after all.
 */
gone: boolean, };

/**
 * Adds or changes a lot.
 */
export type SaveLot = { 
/**
 * Its number.
 */
lot: string, 
/**
 * What the parts are.
 */
description: string, 
/**
 * The level on the label.
 */
moisture: MoistureLevel | null, 
/**
 * For level 6, the hours on the label, as typed; may be empty.
 */
label_hours: string, 
/**
 * Thickness of a part's body in millimetres, as typed; may be empty.
 */
thickness: string, 
/**
 * True when nobody knows how long it lay open.
 */
history_unknown: boolean, 
/**
 * True once none is left.
 */
used_up: boolean, };

/**
 * Adds or changes a person.
 */
export type SavePerson = { 
/**
 * The person; none to add one.
 */
person_id: PersonId | null, 
/**
 * The name.
 */
name: string, 
/**
 * What the person does.
 */
roles: Array<Role>, 
/**
 * True when the person has left.
 */
left: boolean, };

/**
 * Adds or changes a procedure.
 */
export type SaveProcedure = { 
/**
 * Its code.
 */
code: string, 
/**
 * What it is called.
 */
name: string, 
/**
 * Its steps, in order.
 */
steps: Array<ProcedureStep>, 
/**
 * True when the lab works by it no more.
 */
retired: boolean, };

/**
 * Adds or changes a shop.
 */
export type SaveShop = { 
/**
 * The shop; none to add one.
 */
shop_id: ShopId | null, 
/**
 * What it is.
 */
description: ShopDescription, 
/**
 * The price up to which it agrees beforehand, as typed; empty when it is always asked.
 */
standing_limit: string, };

/**
 * Adds or changes a test.
 */
export type SaveTest = { 
/**
 * The test; its version is counted by the program.
 */
test: TestDefinition, };

/**
 * What a scan came to.
 */
export type ScanAnswer = { 
/**
 * The text that was understood, without symbology prefix.
 */
text: string, 
/**
 * All it means here; go there at once when it is one.
 */
matches: Array<ScanMatch>, 
/**
 * What happened, in a sentence.
 */
sentence: string, 
/**
 * A warning, such as a wrong check digit with the likely right reading; empty when none.
 */
warning: string, 
/**
 * True when the text looks like a parcel's number that nobody announced: offer to take it in.
 */
offer_take_in: boolean, };

/**
 * A thing with words for the list.
 */
export type ScanMatch = { 
/**
 * The thing.
 */
target: ScanTarget, 
/**
 * What it is, in a line.
 */
words: string, };

/**
 * One thing a text may mean.
 */
export type ScanTarget = { "kind": "job", 
/**
 * Which.
 */
job_id: JobId, } | { "kind": "parcel", 
/**
 * Which.
 */
parcel_id: ParcelId, } | { "kind": "cell", 
/**
 * Which.
 */
cell_id: CellId, } | { "kind": "shop", 
/**
 * Which.
 */
shop_id: ShopId, };

/**
 * What was scanned or typed.
 */
export type ScanText = { 
/**
 * Verbatim.
 */
text: string, };

/**
 * Seals a passcode.
 */
export type SealPasscode = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * The passcode, as the shop gave it.
 */
passcode: string, };

/**
 * Sets the mark.
 */
export type SetLabMark = { 
/**
 * The picture's bytes in base64.
 */
base64: string, };

/**
 * Opens or closes a lot's bag.
 */
export type SetLotBag = { 
/**
 * The lot.
 */
lot: LotNumber, 
/**
 * What happened.
 */
event: BagEvent, 
/**
 * When, as `2026-11-25 14:05` in the lab's time; empty for now.
 */
at: string, };

/**
 * Says that heat on one part reaches another, or that it does not.
 */
export type SetNearness = { 
/**
 * The board.
 */
board: BoardCode, 
/**
 * One designator.
 */
one: string, 
/**
 * The other.
 */
other: string, 
/**
 * False takes it back.
 */
near: boolean, 
/**
 * How it is known; may be empty.
 */
note: string, };

/**
 * Sets the outcome.
 */
export type SetOutcome = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * How it ended.
 */
outcome: JobOutcome, 
/**
 * What the shop should know; printed.
 */
words: string, 
/**
 * Days of warranty, as typed; empty for the lab's usual.
 */
warranty_days: string, };

/**
 * Sets the texts.
 */
export type SetPaperTexts = { 
/**
 * What the papers are to say.
 */
texts: PaperTexts, };

/**
 * Says which shop a parcel is from.
 */
export type SetParcelShop = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * The shop.
 */
shop_id: ShopId, };

/**
 * Sets the quote.
 */
export type SetQuote = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * Its lines.
 */
lines: Array<QuoteLineInput>, 
/**
 * What returning it unrepaired costs, such as `15`; empty for nothing.
 */
fee_if_refused: string, 
/**
 * The day it is promised for, as `2026-11-25`; empty when none is.
 */
promised_date: string, 
/**
 * More words for the shop.
 */
note: string, };

/**
 * Sets a parcel's tracking number.
 */
export type SetTracking = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * The number as scanned or typed.
 */
text: string, };

/**
 * Sets the folder in which new pictures are picked up.
 */
export type SetWatchedFolder = { 
/**
 * The folder; empty for none.
 */
path: string, };

/**
 * Settles a disagreement.
 */
export type Settle = { 
/**
 * The job.
 */
job_id: JobId, 
/**
 * The value.
 */
value: Disputed, 
/**
 * The edit that counts.
 */
entry_id: EntryId, };

/**
 * All that is set up.
 */
export type SetupView = { 
/**
 * The lab.
 */
lab: LabDescription | null, 
/**
 * Its people.
 */
people: Array<PersonBrief>, 
/**
 * Its tests, by group and title.
 */
tests: Array<TestDefinition>, 
/**
 * The server's address; empty when none.
 */
server_url: string, 
/**
 * The desktops that have written entries.
 */
desktops: Array<DesktopRow>, 
/**
 * The folder in which new pictures are picked up; empty when none.
 */
watched_folder: string, 
/**
 * Where the logbook lies.
 */
folder: string, 
/**
 * Entries in the logbook.
 */
entries: number, };

/**
 * Hands a return parcel to its carrier.
 */
export type ShipParcel = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * The tracking number, as scanned or typed.
 */
tracking: string, 
/**
 * The carrier, where the number doesn't tell; may be empty.
 */
carrier: string, };

/**
 * A return parcel was handed to its carrier.
 */
export type Shipment = { 
/**
 * Carrier and number.
 */
tracking: Tracking, 
/**
 * The devices inside.
 */
job_ids: Array<JobId>, };

/**
 * A partner shop.
 */
export type Shop = { 
/**
 * The shop.
 */
shop_id: ShopId, 
/**
 * Name, address, money.
 */
description: Register<ShopDescription>, 
/**
 * The price up to which it agrees beforehand.
 */
standing_limit: Register<StandingLimit>, 
/**
 * Advice that was refused because of a cell, oldest first.
 */
refused: Array<Marked<RefusedAdvice>>, };

/**
 * A shop in a line.
 */
export type ShopBrief = { 
/**
 * The shop.
 */
shop_id: ShopId, 
/**
 * Its name.
 */
name: string, 
/**
 * Its country.
 */
country: string, 
/**
 * Its currency.
 */
currency: string, 
/**
 * The price up to which it agrees beforehand.
 */
standing_limit: Money | null, };

/**
 * A partner shop.
 */
export type ShopDescription = { 
/**
 * Its name.
 */
name: string, 
/**
 * Postal address for returns, one line an element, without the country.
 */
address_lines: Array<string>, 
/**
 * ISO 3166-1 alpha-2 code.
 */
country: string, 
/**
 * Telephone number.
 */
phone: string, 
/**
 * E-mail address for notices.
 */
email: string, 
/**
 * ISO 4217 code of its quotes.
 */
currency: string, };

/**
 * A shop with what is ready for it.
 */
export type ShopGroup = { 
/**
 * The shop.
 */
shop: ShopBrief, 
/**
 * Jobs that may be packed.
 */
ready: Array<JobRow>, 
/**
 * Jobs that are closed, but lack something before they may be packed.
 */
not_ready: Array<JobRow>, 
/**
 * The return parcel that is open for it, if one is.
 */
open_parcel: ParcelRow | null, };

/**
 * One partner business that sends devices.
 */
export type ShopId = string;

/**
 * A one-time sign-in link.
 */
export type ShopInvitation = { 
/**
 * The link to send to the shop's user.
 */
url: string, 
/**
 * Hours for which it can be used, once.
 */
valid_hours: number, };

/**
 * Which shop.
 */
export type ShopKey = { 
/**
 * The shop.
 */
shop_id: ShopId, };

/**
 * A shop in a row.
 */
export type ShopRow = { 
/**
 * The shop.
 */
shop: ShopBrief, 
/**
 * Its devices in the house.
 */
in_house: number, 
/**
 * Of those, the ones that wait for its decision.
 */
waiting_for_shop: number, 
/**
 * Its announced parcels that are not here.
 */
parcels_awaited: number, 
/**
 * Advice that was refused because of a cell.
 */
refused_advice: number, };

/**
 * One shop.
 */
export type ShopView = { 
/**
 * The shop.
 */
shop: Shop, 
/**
 * The shop in a line.
 */
brief: ShopBrief, 
/**
 * Its jobs, latest first.
 */
jobs: Array<JobRow>, 
/**
 * Its parcels, latest first.
 */
parcels: Array<ParcelRow>, };

/**
 * Every shop.
 */
export type ShopsView = { 
/**
 * By name.
 */
rows: Array<ShopRow>, };

/**
 * Asks for a page of a paper.
 */
export type ShowPage = { 
/**
 * The paper.
 */
paper: Asked, 
/**
 * Which page, from 1.
 */
page: number, };

/**
 * A page of a paper, as it prints.
 */
export type ShownPage = { 
/**
 * An SVG drawn from the PDF.
 */
svg: string, 
/**
 * How many pages the paper has.
 */
pages: number, };

/**
 * What the look-over found besides marks on the case.
 */
export type Signs = { 
/**
 * Account lock.
 */
account_lock: AccountLock, 
/**
 * True when a liquid indicator has turned.
 */
liquid_indicator_turned: boolean, 
/**
 * Screws that are missing.
 */
screws_missing: number, 
/**
 * True when a seal is missing or broken.
 */
seal_broken: boolean, 
/**
 * True when someone worked on it before.
 */
earlier_work: boolean, 
/**
 * More words; may be empty.
 */
note: string, };

/**
 * A spread of times, in minutes.
 */
export type Spread = { 
/**
 * How many times there are.
 */
count: number, 
/**
 * A quarter of them are shorter.
 */
quarter: number, 
/**
 * Half of them are shorter.
 */
half: number, 
/**
 * Three quarters of them are shorter.
 */
three_quarters: number, };

/**
 * Where a job is. The words are those of the Core Business Vocabulary (GS1 CBV 2.0) where it has one.
 */
export type Stage = "advised" | "receiving" | "inspecting" | "holding" | "repairing" | "proving" | "packing" | "shipping" | "returned" | "destroyed";

/**
 * How many jobs are at a stage.
 */
export type StageCount = { 
/**
 * The stage.
 */
stage: Stage, 
/**
 * Its jobs.
 */
jobs: number, };

/**
 * A reason with the time since which it stands.
 */
export type Standing = { 
/**
 * The reason.
 */
reason: CellReason, 
/**
 * Since when, in milliseconds since 1970.
 */
since_ms: number, };

/**
 * A hold a person placed, while it lasts.
 */
export type StandingHold = { 
/**
 * Who and when.
 */
mark: Mark, 
/**
 * For what.
 */
hold: Hold, };

/**
 * The price up to which a shop agrees without being asked.
 */
export type StandingLimit = { 
/**
 * The limit, inclusive; `None` when every quote is asked about.
 */
limit: Money | null, };

/**
 * A station on the route strip.
 */
export type Station = "advice" | "dock" | "cell_check" | "look_over" | "before" | "quote" | "work" | "after" | "report" | "outbound";

/**
 * How a station stands.
 */
export type StationState = "done" | "next" | "blocked" | "later" | "skipped";

/**
 * One step of bench work.
 */
export type Step = { 
/**
 * What was done.
 */
text: string, 
/**
 * The lab's own procedure code; may be empty.
 */
procedure: string, 
/**
 * The tool; may be empty.
 */
tool: string, 
/**
 * Parts fitted.
 */
parts: Array<FittedPart>, 
/**
 * Heat, if any was used.
 */
heat: HeatExposure | null, 
/**
 * Who witnessed it, where it is a hold point.
 */
witness_id: PersonId | null, 
/**
 * Photos of it.
 */
photos: Array<ContentHash>, 
/**
 * True when the work may not go on without a witness to it.
 */
hold_point: boolean, 
/**
 * Its place in a procedure that the job is worked by.
 */
in_procedure: ProcedureDone | null, 
/**
 * The jumper it laid or read again.
 */
jumper: Jumper | null, 
/**
 * The lots of moisture-sensitive parts that it took from.
 */
lots: Array<LotUsed>, };

/**
 * Which step of a begun procedure a step is.
 */
export type StepOfProcedure = { 
/**
 * The entry by which the job began the procedure.
 */
begun_id: EntryId, 
/**
 * Its place, from 0.
 */
index: number, 
/**
 * For a hold point: whether the work may go on.
 */
passed: boolean, 
/**
 * For a hold point: what was found.
 */
result: string, };

/**
 * What would be recorded, and what speaks against it.
 */
export type StepPreview = { 
/**
 * The board whose knowledge is offered.
 */
board: BoardCode | null, 
/**
 * What is known, or that nothing is, in a sentence; empty without a heated part.
 */
knowledge: string, 
/**
 * The known neighbours.
 */
neighbours: Array<Neighbour>, 
/**
 * The tests that they open.
 */
tests: Array<TestName>, 
/**
 * Which heating of this part it would be.
 */
pass: number | null, 
/**
 * What to think about, gravest first.
 */
warnings: Array<HeatWarning>, 
/**
 * How the jumper's reading compares.
 */
jumper: JumperVerdict | null, 
/**
 * The moisture-sensitive lots.
 */
lots: Array<LotChosen>, };

/**
 * One station of one job's route.
 */
export type Stop = { 
/**
 * The station.
 */
station: Station, 
/**
 * How it stands.
 */
state: StationState, 
/**
 * When it was passed, in milliseconds since 1970.
 */
at_ms: number | null, 
/**
 * What is missing before it can be entered.
 */
missing: Array<Missing>, };

/**
 * What an entry is about.
 */
export type Subject = { "kind": "lab", "id": LabId } | { "kind": "person", "id": PersonId } | { "kind": "shop", "id": ShopId } | { "kind": "parcel", "id": ParcelId } | { "kind": "job", "id": JobId } | { "kind": "cell", "id": CellId };

/**
 * A test that may be chosen, with whether it is suggested by the declared fault.
 */
export type SuggestedTest = { 
/**
 * The test.
 */
test: TestDefinition, 
/**
 * True when the fault's words or the lab's own past suggest it.
 */
suggested: boolean, 
/**
 * Why it is suggested; may be empty.
 */
why: string, 
/**
 * What passes, in words with the unit; empty for pass or fail.
 */
limits_words: string, 
/**
 * The rule its readings are judged by, with the source; empty where there are no limits.
 */
rule_words: string, };

/**
 * The curve with what it rests on.
 */
export type Survival = { 
/**
 * Devices counted.
 */
devices: number, 
/**
 * Devices that came back.
 */
comebacks: number, 
/**
 * The longest time that any of them has been out, in days.
 */
days_max: number, 
/**
 * The days on which the curve steps down. Empty when there is too little to draw one.
 */
steps: Array<SurvivalStep>, 
/**
 * One sentence: what the curve says, or why there is none.
 */
words: string, };

/**
 * The curve changes on a day.
 */
export type SurvivalStep = { 
/**
 * Days after the return.
 */
day: number, 
/**
 * Devices that were out until then and might have come back.
 */
at_risk: number, 
/**
 * Devices that came back on that day.
 */
comebacks: number, 
/**
 * The share that has not come back by the end of that day.
 */
lasting: number, 
/**
 * Lower bound of that share, 95 %.
 */
low: number, 
/**
 * Upper bound of that share, 95 %.
 */
high: number, };

/**
 * The quiet line about the server.
 */
export type SyncLine = { 
/**
 * The line, ready to show: “all sent”, “12 waiting, no connection since 09:40”.
 */
words: string, 
/**
 * Entries that the server has not confirmed.
 */
entries_waiting: number, 
/**
 * Pictures and files that the server has not confirmed.
 */
files_waiting: number, 
/**
 * Bytes of those.
 */
file_bytes_waiting: number, 
/**
 * Bytes a second over the files sent lately.
 */
file_bytes_per_second: number | null, 
/**
 * While fetching: entries fetched so far.
 */
entries_fetched: number | null, 
/**
 * While fetching: of how many.
 */
entries_to_fetch: number | null, 
/**
 * When both sides last held the same, in milliseconds since 1970.
 */
in_step_at_ms: number | null, 
/**
 * True while the server answers.
 */
connected: boolean, 
/**
 * True once this desktop has joined a server.
 */
joined: boolean, 
/**
 * What keeps it from sending, in a sentence; empty when nothing does.
 */
trouble: string, 
/**
 * True when it goes no further until a person acts; a server that is out of reach needs nobody.
 */
needs_person: boolean, 
/**
 * How far this computer's clock is ahead of the server's, in milliseconds, once known.
 */
clock_ahead_ms: number | null, };

/**
 * What job tags are printed on.
 */
export type TagStock = "roll62_mm" | "sheet_a4" | "sheet_letter";

/**
 * Records a reading.
 */
export type TakeCellReading = { 
/**
 * Of what: a job or a cell.
 */
subject: Subject, 
/**
 * The reading.
 */
reading: CellReadingInput, };

/**
 * How a result was taken: all that its judgement and its comparison rest on, besides what it gave.
 */
export type Taken = { 
/**
 * The entry that defined the test as it was done; none in results older than versions by entries.
 */
definition_id: EntryId | null, 
/**
 * What the test needs for its result to mean anything.
 */
needs: Needs, 
/**
 * What must be attached, in the test's words.
 */
attached: string, 
/**
 * How the device stood; none when it was not said.
 */
assembly: Assembly | null, 
/**
 * What the reading was taken with; may be empty.
 */
instrument: string, 
/**
 * The single readings, in millionths of the unit, when the value is the mean of several.
 */
repeats_micro: Array<number>, 
/**
 * The current trace it was read from.
 */
trace: TraceRecord | null, };

/**
 * The catalogue's name for a test: short, lower case, stable, such as `charge.current`.
 */
export type TestCode = string;

/**
 * A functional test of the lab's catalogue.
 */
export type TestDefinition = { 
/**
 * Its code; a later definition with the same code follows this one.
 */
code: TestCode, 
/**
 * Counts definitions of this code, from 1.
 */
version: number, 
/**
 * The group it is listed under, such as “power”.
 */
group: string, 
/**
 * What it is called.
 */
title: string, 
/**
 * How to do it, in at most three lines.
 */
how: string, 
/**
 * What must be attached for the result to mean anything; empty when nothing.
 */
attached: string, 
/**
 * The kinds of device it applies to.
 */
device_kinds: Array<DeviceKind>, 
/**
 * Words in a declared fault that suggest this test, lower case.
 */
fault_words: Array<string>, 
/**
 * What its result looks like.
 */
kind: TestKind, 
/**
 * A caution to read before doing it; empty when none.
 */
caution: string, 
/**
 * How the device must stand for the result to mean anything.
 */
needs: Needs, 
/**
 * What a reading is taken with.
 */
instrument: Instrument, 
/**
 * True when its limits protect people: a reading must keep clear of them by its uncertainty.
 */
safety_limit: boolean, 
/**
 * True once the lab does it no more; jobs that were tested with it keep it.
 */
retired: boolean, };

/**
 * What a test's result looks like.
 */
export type TestKind = { "kind": "pass_fail" } | { "kind": "reading", 
/**
 * The unit readings are taken in.
 */
unit: Unit, 
/**
 * What passes.
 */
limits: Limits, } | { "kind": "timed", 
/**
 * What passes.
 */
limits: Limits, } | { "kind": "choice", 
/**
 * The answers, in the order of their keys.
 */
answers: Array<ChoiceAnswer>, };

/**
 * A test by its name.
 */
export type TestName = { 
/**
 * Its code.
 */
code: TestCode, 
/**
 * What it is called.
 */
title: string, };

/**
 * Why a test is part of a job's proof.
 */
export type TestReason = "fault" | "chosen" | "neighbour" | "extra";

/**
 * One result of one test.
 */
export type TestResult = { 
/**
 * Before or after.
 */
phase: Phase, 
/**
 * The test.
 */
code: TestCode, 
/**
 * Its version.
 */
version: number, 
/**
 * Its title, so that the job can be read without the catalogue.
 */
title: string, 
/**
 * What it gave.
 */
outcome: Outcome, 
/**
 * A short note; may be empty.
 */
note: string, 
/**
 * Evidence.
 */
photos: Array<ContentHash>, 
/**
 * How it was taken.
 */
taken: Taken, };

/**
 * A dropped file.
 */
export type TraceFile = { 
/**
 * Its name.
 */
name: string, 
/**
 * Its bytes in base64.
 */
base64: string, };

/**
 * Which kept file.
 */
export type TraceKey = { 
/**
 * The hash of its bytes.
 */
file: ContentHash, };

/**
 * A point of the drawn curve.
 */
export type TracePoint = { 
/**
 * Microseconds from the first row.
 */
at_us: number, 
/**
 * The current, in nanoamperes.
 */
current_na: number, };

/**
 * What a current trace from a bench supply came to. The file itself is kept under its hash.
 */
export type TraceRecord = { 
/**
 * The file, byte for byte.
 */
file: ContentHash, 
/**
 * Its size in bytes.
 */
size_bytes: number, 
/**
 * Its name as it was dropped.
 */
name: string, 
/**
 * Rows that were read.
 */
rows: number, 
/**
 * Rows that could not be read and are left out of the figures.
 */
broken_rows: number, 
/**
 * From the first to the last row, in microseconds.
 */
length_us: number, 
/**
 * The highest current, in nanoamperes.
 */
peak_na: number, 
/**
 * From the rise of the current to its steady level, in microseconds; none when it never settles.
 */
start_up_us: number | null, 
/**
 * The charge drawn over the whole trace by the trapezoid rule, in nanoampere-hours.
 */
charge_nah: number, 
/**
 * The levels it passed through.
 */
stages: Array<TraceStage>, };

/**
 * A stretch of a current trace in which the current keeps its level.
 */
export type TraceStage = { 
/**
 * Where it begins, in microseconds from the trace's first row.
 */
from_us: number, 
/**
 * Where it ends, likewise.
 */
to_us: number, 
/**
 * Its mean current by time, in nanoamperes.
 */
mean_na: number, };

/**
 * A trace as read, with its figures and a curve to draw.
 */
export type TraceView = { 
/**
 * Rows that were read.
 */
rows: number, 
/**
 * Rows that could not be read, the first fifty.
 */
broken: Array<BrokenTraceRow>, 
/**
 * How many could not be read.
 */
broken_count: number, 
/**
 * What was taken for granted about the file, in sentences.
 */
assumed: Array<string>, 
/**
 * From the first to the last row, in microseconds.
 */
length_us: number, 
/**
 * The highest current, in nanoamperes.
 */
peak_na: number, 
/**
 * Where it lies, in microseconds.
 */
peak_at_us: number, 
/**
 * Where the current first rises above off, in microseconds.
 */
rises_at_us: number | null, 
/**
 * From that rise to the steady level, in microseconds; none when it never settles.
 */
start_up_us: number | null, 
/**
 * Charge by the trapezoid rule, in nanoampere-hours.
 */
charge_nah: number, 
/**
 * The levels it passes through.
 */
stages: Array<TraceStage>, 
/**
 * The curve; no peak is left out of it.
 */
points: Array<TracePoint>, };

/**
 * A parcel's tracking number as scanned or typed, and what it was recognised as.
 */
export type Tracking = { 
/**
 * The carrier's name, as recognised or chosen; empty when unknown.
 */
carrier: string, 
/**
 * The number, as kept: canonical when recognised, else as typed.
 */
number: string, 
/**
 * A warning about its check digit, with the likely right reading; empty when it is right or has none.
 */
warning: string, };

/**
 * One line of the trail.
 */
export type TrailLine = { 
/**
 * Who and when.
 */
mark: Mark, 
/**
 * What happened, in a few words.
 */
words: string, 
/**
 * The business step, if it is one.
 */
biz_step: string | null, 
/**
 * True when the entry was withdrawn later.
 */
withdrawn: boolean, 
/**
 * Why the entry can't be taken back; `None` when it can.
 */
kept_because: string | null, };

/**
 * A person with their training for lithium shipments.
 */
export type TrainedPerson = { 
/**
 * The person.
 */
person: PersonBrief, 
/**
 * The last day of the training, if there is one.
 */
until: string | null, 
/**
 * What it was.
 */
note: string, };

/**
 * Who carries it.
 */
export type TransportCarrier = "none" | "USPS" | "UPS" | "FEDEX" | "ROYAL_MAIL" | "other";

/**
 * The chemistry.
 */
export type TransportChem = "LI_ION" | "LI_METAL" | "NA_ION" | "HYBRID" | "UNKNOWN";

/**
 * The verdict, from best to worst. The order is meant: the worst of several wins.
 */
export type TransportCode = "ORDINARY" | "MARKED" | "DDR_GROUND" | "HOLD" | "FORBIDDEN";

/**
 * How the cells and the device lie to each other.
 */
export type TransportConfig = "CONTAINED" | "PACKED_WITH" | "ALONE";

/**
 * Cells or batteries of one kind in one package.
 */
export type TransportContents = { 
/**
 * The chemistry.
 */
chem: TransportChem, 
/**
 * 1 is a cell; 2 or more is a battery.
 */
cells_per_unit: number | null, 
/**
 * A button cell.
 */
button: boolean, 
/**
 * The watt-hours printed on one unit.
 */
wh_label?: Millionths, 
/**
 * The nominal voltage of one unit, in millivolts.
 */
mv: number | null, 
/**
 * The rated capacity of one unit, in milliampere-hours.
 */
mah: number | null, 
/**
 * A second capacity, where two are printed. The larger counts.
 */
mah_second: number | null, 
/**
 * The grams of lithium in one unit.
 */
li_grams?: Millionths, 
/**
 * How they lie to their device.
 */
config?: TransportConfig, 
/**
 * Units in one device, or beside it to power it. Without a device: the loose units in one package.
 */
units_in_devices: number | null, 
/**
 * Sets of units in one package beyond those that power the devices.
 */
spare_sets: number | null, 
/**
 * Devices in one package. 0 beside `PACKED_WITH`: the device stands in another line of the contents.
 */
devices_per_package: number | null, 
/**
 * Grams of cells and batteries in one package, without device and packing.
 */
battery_net_g_per_package: number | null, 
/**
 * What was found.
 */
findings: Array<FindingCode>, 
/**
 * Who looked, when and how.
 */
inspected?: string, 
/**
 * The charge in percent of the rated capacity.
 */
soc_rated_pct: number | null, 
/**
 * The charge in percent that the device shows.
 */
soc_indicated_pct: number | null, 
/**
 * What the device is to its sender.
 */
device_status?: TransportDeviceStatus, 
/**
 * Whether the battery is the one the device was made with, or the maker's own part.
 */
battery_original?: boolean, 
/**
 * Whether the device is off and can't switch itself on.
 */
powered_off?: boolean, };

/**
 * A trained shipper's decision where the law leaves a choice.
 */
export type TransportDecision = { 
/**
 * The verdict decided about: a hold, or the road for damaged cells.
 */
verdict: TransportCode, 
/**
 * The rules that called for it. The decision covers these, and no others.
 */
rules: Array<string>, 
/**
 * Why it may go, in the shipper's words.
 */
reason: string, 
/**
 * The last day of the shipper's training, as recorded then.
 */
trained_until: string, };

/**
 * What the device is to its sender.
 */
export type TransportDeviceStatus = "NEW_SEALED" | "MFR_CERTIFIED" | "USED";

/**
 * What else a verdict says.
 */
export type TransportFlag = "surface_only" | "cargo_aircraft_only" | "fully_regulated" | "emergency" | "carrier_check" | "data_missing" | "advice_soc" | "no_outside_battery_labels";

/**
 * What must be printed on the package.
 */
export type TransportMark = { 
/**
 * `LBM(UN3481)`, `T-PAX`, `T-GND`, `T-DDR`, `T-USPS`, `L9`, `L9A`, `CAO`, `AWB-II`, `OVERPACK`.
 */
code: string, 
/**
 * What kind of thing it is.
 */
kind: MarkKind, 
/**
 * What it is, for people.
 */
words: string, 
/**
 * The text to print, a line each, exactly.
 */
lines: Array<string>, 
/**
 * The least height of its letters, in millimetres.
 */
letter_height_mm: number | null, 
/**
 * The least size of the whole, width by height, in millimetres.
 */
size_mm: [number, number] | null, 
/**
 * The size allowed where the package is too small for the whole, width by height, in millimetres.
 */
small_size_mm: [number, number] | null, 
/**
 * Where it goes and what must not be done with it.
 */
placing: string, };

/**
 * How the parcel is to go.
 */
export type TransportMode = "GROUND" | "AIR_PAX" | "AIR_CARGO" | "POST_DOMESTIC" | "POST_INTL";

/**
 * A paper that goes with the parcel, or a record that must be at hand.
 */
export type TransportPaper = { 
/**
 * What it is.
 */
name: string, 
/**
 * What must stand in it.
 */
text: string, 
/**
 * The clause that asks for it.
 */
clause: string, };

/**
 * The question: one package of a consignment.
 */
export type TransportParcel = { 
/**
 * Whose law it starts under.
 */
regime: TransportRegime, 
/**
 * How it is to go.
 */
mode: TransportMode, 
/**
 * Who carries it.
 */
carrier: TransportCarrier, 
/**
 * The day it leaves; picks the rules.
 */
ship_date: string, 
/**
 * Why it travels.
 */
purpose: TransportPurpose, 
/**
 * Packages from one shipper to one consignee at one address, at one time.
 */
packages_per_consignment: number | null, 
/**
 * Grams of the whole package.
 */
gross_g_per_package: number | null, 
/**
 * What lies in one package.
 */
contents: Array<TransportContents>, 
/**
 * ISO 3166-1 alpha-2 code of the country it goes to.
 */
destination_country?: string, 
/**
 * Whether it goes to a place outside the 48 adjoining states of the United States.
 */
outside_us_lower_48?: boolean, 
/**
 * Packages held together on their way.
 */
overpack?: Overpack, 
/**
 * The mark that is to be used, if it is already printed.
 */
printed_mark?: PrintedMark, };

/**
 * How a return parcel goes, and what only a person at the box can say.
 */
export type TransportPlan = { 
/**
 * Whose law it starts under.
 */
regime: TransportRegime, 
/**
 * How it goes.
 */
mode: TransportMode, 
/**
 * Who carries it.
 */
carrier: TransportCarrier, 
/**
 * Packages to the same address at the same time, this one among them.
 */
packages: number, 
/**
 * Whether every device is off and can't switch itself on; `None` when nobody looked.
 */
powered_off: boolean | null, 
/**
 * Whether every battery is the one its device was made with.
 */
batteries_original: boolean | null, 
/**
 * The highest charge of any battery inside, in percent of the rated capacity.
 */
charge_rated_pct: number | null, 
/**
 * The highest charge that any device shows, in percent.
 */
charge_shown_pct: number | null, 
/**
 * Whether it goes outside the 48 adjoining states of the United States.
 */
outside_us_lower_48: boolean | null, };

/**
 * Why it travels.
 */
export type TransportPurpose = "RETURN" | "REPAIR_IN" | "RECYCLE";

/**
 * Whose law the parcel starts under.
 */
export type TransportRegime = "US_HMR" | "ADR";

/**
 * The answer.
 */
export type TransportVerdict = { 
/**
 * The verdict: the worst that any rule calls for.
 */
verdict: TransportCode, 
/**
 * The verdict in words.
 */
words: string, 
/**
 * UN numbers of what is inside, in ascending order.
 */
un: Array<UnNumber>, 
/**
 * The proper shipping name of each, in the same order.
 */
proper_shipping_name: Array<string>, 
/**
 * The packing instructions, such as `PI 967-II`, `P908` or `173.185(f)`.
 */
packing_instruction: Array<string>, 
/**
 * What must be printed. Empty when the parcel must not go.
 */
marks: Array<TransportMark>, 
/**
 * Papers and records. Empty when the parcel must not go.
 */
papers: Array<TransportPaper>, 
/**
 * What else there is to know, in a word each.
 */
flags: Array<TransportFlag>, 
/**
 * Every rule that fired, the worst first.
 */
rules: Array<RuleFired>, 
/**
 * Every value compared with a limit.
 */
limits: Array<LimitChecked>, 
/**
 * Better lawful ways, the best first.
 */
alternatives: Array<Alternative>, 
/**
 * What is not known, or rests on less than the rule's own text.
 */
unknowns: Array<string>, 
/**
 * What stands on every verdict.
 */
cautions: Array<Caution>, 
/**
 * How it is packed, in the order of the hands' work. Empty when the parcel must not go.
 */
packing: Array<PackingStep>, 
/**
 * The regime asked about.
 */
regime: TransportRegime, 
/**
 * The mode asked about.
 */
mode: TransportMode, 
/**
 * The carrier asked about.
 */
carrier: TransportCarrier, 
/**
 * The ship date that picked the rules.
 */
ship_date: string, 
/**
 * The state of the rule book used, to be printed.
 */
book: string, };

/**
 * The verdict of a return parcel, with what it rests on.
 */
export type TransportView = { 
/**
 * How it goes, as said last.
 */
plan: TransportPlan | null, 
/**
 * The regime of the lab's own country, where a form begins.
 */
own_regime: TransportRegime, 
/**
 * The question, once it can be asked.
 */
question: TransportParcel | null, 
/**
 * The verdict; none while nobody said how it goes, and none for a parcel without a cell.
 */
verdict: TransportVerdict | null, 
/**
 * The decision that covers this verdict, if one does.
 */
decision: TransportDecision | null, 
/**
 * The person who decided.
 */
decided_by: PersonBrief | null, 
/**
 * True when the verdict leaves a trained shipper a choice.
 */
may_decide: boolean, 
/**
 * The last day of the training of the person at this desktop; `None` without one.
 */
trained_until: string | null, 
/**
 * What keeps the parcel from going, in sentences; empty when it may go.
 */
blocked: Array<string>, };

/**
 * A UN number with the packaging it stands for.
 */
export type UnNumber = "UN3090" | "UN3091" | "UN3480" | "UN3481" | "UN3551" | "UN3552";

/**
 * Units in which tests are read.
 */
export type Unit = "volt" | "ampere" | "watt" | "ohm" | "second" | "celsius" | "percent" | "decibel_milliwatt" | "count";

/**
 * Takes a device out of a return parcel.
 */
export type UnpackDevice = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * The device's job.
 */
job_id: JobId, };

/**
 * Adds a newer row to the rule book.
 */
export type UpdateRule = { 
/**
 * The row.
 */
row: BookRow, 
/**
 * Why.
 */
reason: string, };

/**
 * A bench rule or limit of the lab's own, as it was in force when an entry was recorded.
 */
export type UsedBenchRule = { 
/**
 * The row's id.
 */
id: string, 
/**
 * The number, in the row's unit; `None` for rules that compare nothing themselves.
 */
value: number | null, 
/**
 * The edition of the text it was taken from.
 */
edition: string, 
/**
 * Where it was read.
 */
source: string, 
/**
 * How sure it is.
 */
certainty: RuleCertainty, 
/**
 * When somebody last compared it with its source.
 */
last_checked: string, 
/**
 * What it says, for people.
 */
text: string, };

/**
 * What a result comes to.
 */
export type Verdict = "pass" | "fail" | "not_applicable" | "not_testable";

/**
 * A check of the whole logbook.
 */
export type Verified = { 
/**
 * Entries checked.
 */
entries: number, 
/**
 * Streams checked.
 */
streams: number, 
/**
 * What is wrong, in sentences; empty when all is right.
 */
trouble: Array<string>, };

/**
 * A heat that comes from outside the cell.
 */
export type WarmedBy = "journey" | "running" | "charging";

/**
 * Weighs a return parcel.
 */
export type WeighParcel = { 
/**
 * The parcel.
 */
parcel_id: ParcelId, 
/**
 * Grams, as typed.
 */
grams: string, };

/**
 * The wire that was used.
 */
export type Wire = { "by": "awg", 
/**
 * The number.
 */
number: number, } | { "by": "diameter", 
/**
 * Micrometres, 5 to 1000.
 */
diameter_um: number, };

/**
 * Takes an entry back.
 */
export type Withdraw = { 
/**
 * What it is about.
 */
subject: Subject, 
/**
 * The entry.
 */
entry_id: EntryId, 
/**
 * Why.
 */
reason: string, };

/**
 * What a bench has at hand for a job.
 */
export type WorkAids = { 
/**
 * Boards of the job's device.
 */
boards: Array<BoardChoice>, 
/**
 * The lab's procedures.
 */
procedures: Array<ProcedureName>, 
/**
 * Alloys by name.
 */
alloys: Array<string>, 
/**
 * Lots that are not used up.
 */
lots: Array<LotRow>, 
/**
 * True when the record shows that no cell is in the device.
 */
without_cell: boolean, };

/** What the screen shows around every place. */
export function state(): Promise<DeskState> {
  return call("state", {});
}

/** Founds a lab on this desktop. */
export function foundLab(request: FoundLab): Promise<DeskState> {
  return call("found_lab", request);
}

/** Joins a lab by an invitation from one of its desktops. */
export function joinLab(request: JoinLab): Promise<DeskState> {
  return call("join_lab", request);
}

/** Connects this lab to its server with a one-time code. */
export function connectServer(request: ConnectServer): Promise<DeskState> {
  return call("connect_server", request);
}

/** Makes an invitation for one more desktop. */
export function inviteDesktop(): Promise<Invitation> {
  return call("invite_desktop", {});
}

/** Says who is at this desktop. */
export function choosePerson(request: ChoosePerson): Promise<DeskState> {
  return call("choose_person", request);
}

/** Tries to reach the server now. */
export function syncNow(): Promise<SyncLine> {
  return call("sync_now", {});
}

/** Restores a lab from a backup into an empty desktop. */
export function restoreLab(request: RestoreLab): Promise<DeskState> {
  return call("restore_lab", request);
}

/** Keeps what is being typed. */
export function saveDraft(request: Draft): Promise<Nothing> {
  return call("save_draft", request);
}

/** Gives back what was being typed. */
export function loadDraft(request: DraftKey): Promise<KeptDraft> {
  return call("load_draft", request);
}

/** Forgets what was being typed. */
export function forgetDraft(request: DraftKey): Promise<Nothing> {
  return call("forget_draft", request);
}

/** Finds what a scanned or typed text means. */
export function scan(request: ScanText): Promise<ScanAnswer> {
  return call("scan", request);
}

/** Reads an identifier and judges its check digit. */
export function readIdentifier(request: ScanText): Promise<IdentifierReadings> {
  return call("read_identifier", request);
}

/** Parcels awaited, received and counted. */
export function dock(): Promise<DockView> {
  return call("dock", {});
}

/** One parcel. */
export function parcel(request: ParcelKey): Promise<ParcelView> {
  return call("parcel", request);
}

/** Takes a parcel in. */
export function receiveParcel(request: ReceiveParcel): Promise<ParcelView> {
  return call("receive_parcel", request);
}

/** Says which shop a parcel is from. */
export function setParcelShop(request: SetParcelShop): Promise<ParcelView> {
  return call("set_parcel_shop", request);
}

/** Records what is seen on a parcel. */
export function recordParcelFindings(request: RecordParcelFindings): Promise<ParcelView> {
  return call("record_parcel_findings", request);
}

/** Finds a dangerous parcel safe to open. */
export function releaseParcel(request: ReleaseParcel): Promise<ParcelView> {
  return call("release_parcel", request);
}

/** Sets a parcel's tracking number. */
export function setTracking(request: SetTracking): Promise<ParcelView> {
  return call("set_tracking", request);
}

/** Counts expected against found. */
export function countParcel(request: CountParcel): Promise<ParcelView> {
  return call("count_parcel", request);
}

/** Prints job tags. */
export function printJobTags(request: PrintJobTags): Promise<PaperFile> {
  return call("print_job_tags", request);
}

/** Every job in the house. */
export function rack(request: RackFilter): Promise<RackView> {
  return call("rack", request);
}

/** Everything in isolation, and what is watched. */
export function cellBay(): Promise<CellBayView> {
  return call("cell_bay", {});
}

/** One thing in the Cell bay: a removed cell, or a device with its cell in it. */
export function cell(request: BayKey): Promise<CellView> {
  return call("cell", request);
}

/** Judges a reading without recording it. */
export function previewCellReading(request: TakeCellReading): Promise<Judgement> {
  return call("preview_cell_reading", request);
}

/** Records a reading. */
export function takeCellReading(request: TakeCellReading): Promise<CellView> {
  return call("take_cell_reading", request);
}

/** Puts a device or a cell in isolation, or elsewhere in it. */
export function placeInIsolation(request: PlaceInIsolation): Promise<CellView> {
  return call("place_in_isolation", request);
}

/** Records that a cell was taken out of its device. */
export function removeCell(request: RemoveCell): Promise<CellView> {
  return call("remove_cell", request);
}

/** Judges a cell sound or damaged. */
export function judgeCell(request: JudgeCell): Promise<CellView> {
  return call("judge_cell", request);
}

/** Hands a removed cell to a recycler. */
export function handOverCell(request: HandOverCell): Promise<CellView> {
  return call("hand_over_cell", request);
}

/** Sends a cell back under the provisions for damaged cells. */
export function returnCell(request: ReturnCell): Promise<CellView> {
  return call("return_cell", request);
}

/** Says why a cell stays in isolation. */
export function holdCell(request: HoldCell): Promise<CellView> {
  return call("hold_cell", request);
}

/** One job: the spread. */
export function job(request: JobKey): Promise<JobView> {
  return call("job", request);
}

/** Judges a cell check without recording it. */
export function previewCellCheck(request: RecordCellCheck): Promise<Judgement> {
  return call("preview_cell_check", request);
}

/** Records a cell check. */
export function recordCellCheck(request: RecordCellCheck): Promise<JobView> {
  return call("record_cell_check", request);
}

/** Describes the device. */
export function describeDevice(request: DescribeDevice): Promise<JobView> {
  return call("describe_device", request);
}

/** Records the identifiers read from the device. */
export function recordIdentity(request: RecordIdentity): Promise<JobView> {
  return call("record_identity", request);
}

/** Records one mark on the case. */
export function recordCondition(request: RecordCondition): Promise<JobView> {
  return call("record_condition", request);
}

/** Records locks, seals and indicators. */
export function recordSigns(request: RecordSigns): Promise<JobView> {
  return call("record_signs", request);
}

/** Records what came with the device. */
export function recordAccessories(request: RecordAccessories): Promise<JobView> {
  return call("record_accessories", request);
}

/** Seals a passcode. */
export function sealPasscode(request: SealPasscode): Promise<JobView> {
  return call("seal_passcode", request);
}

/** Opens a passcode, for a reason. */
export function openPasscode(request: OpenPasscode): Promise<OpenedPasscode> {
  return call("open_passcode", request);
}

/** Chooses the tests that the proof rests on. */
export function chooseTests(request: ChooseTests): Promise<JobView> {
  return call("choose_tests", request);
}

/** Records one test's result. */
export function recordResult(request: RecordResult): Promise<JobView> {
  return call("record_result", request);
}

/** What became of like jobs. */
export function past(request: JobKey): Promise<PastView> {
  return call("past", request);
}

/** Reads a current trace without recording it. */
export function previewTrace(request: TraceFile): Promise<TraceView> {
  return call("preview_trace", request);
}

/** Reads a kept current trace again. */
export function keptTrace(request: TraceKey): Promise<TraceView> {
  return call("kept_trace", request);
}

/** Records what is thought to be wrong. */
export function recordDiagnosis(request: RecordDiagnosis): Promise<JobView> {
  return call("record_diagnosis", request);
}

/** Sets the quote. */
export function setQuote(request: SetQuote): Promise<JobView> {
  return call("set_quote", request);
}

/** Records an answer that the shop gave by word. */
export function recordDecision(request: RecordDecision): Promise<JobView> {
  return call("record_decision", request);
}

/** What a bench has at hand for a job: boards, procedures, alloys, lots. */
export function workAids(request: JobKey): Promise<WorkAids> {
  return call("work_aids", request);
}

/** Shows what a step would open and what speaks against it, without recording it. */
export function previewStep(request: PreviewStep): Promise<StepPreview> {
  return call("preview_step", request);
}

/** Works the job by a procedure. */
export function beginProcedure(request: BeginProcedure): Promise<JobView> {
  return call("begin_procedure", request);
}

/** Records a step of work. */
export function recordStep(request: RecordStep): Promise<JobView> {
  return call("record_step", request);
}

/** Lets the job wait. */
export function placeHold(request: PlaceHold): Promise<JobView> {
  return call("place_hold", request);
}

/** Lets the job go on. */
export function liftHold(request: LiftHold): Promise<JobView> {
  return call("lift_hold", request);
}

/** Passes a block, for a reason. */
export function overrideBlock(request: OverrideBlock): Promise<JobView> {
  return call("override_block", request);
}

/** Sets the outcome. */
export function setOutcome(request: SetOutcome): Promise<JobView> {
  return call("set_outcome", request);
}

/** Makes the return report. */
export function makeReport(request: MakeReport): Promise<PaperFile> {
  return call("make_report", request);
}

/** Settles a disagreement. */
export function settle(request: Settle): Promise<JobView> {
  return call("settle", request);
}

/** Takes an entry back. */
export function withdraw(request: Withdraw): Promise<Nothing> {
  return call("withdraw", request);
}

/** Writes to the shop. */
export function postMessage(request: PostMessage): Promise<JobView> {
  return call("post_message", request);
}

/** Writes a note for the lab. */
export function recordNote(request: RecordNote): Promise<JobView> {
  return call("record_note", request);
}

/** What is ready to go, by shop. */
export function outbound(): Promise<OutboundView> {
  return call("outbound", {});
}

/** Begins a return parcel. */
export function openReturnParcel(request: OpenReturnParcel): Promise<ParcelView> {
  return call("open_return_parcel", request);
}

/** Scans a device into a return parcel. */
export function packDevice(request: PackDevice): Promise<ParcelView> {
  return call("pack_device", request);
}

/** Takes a device out of a return parcel. */
export function unpackDevice(request: UnpackDevice): Promise<ParcelView> {
  return call("unpack_device", request);
}

/** Weighs a return parcel. */
export function weighParcel(request: WeighParcel): Promise<ParcelView> {
  return call("weigh_parcel", request);
}

/** Prints a packing slip. */
export function printPackingSlip(request: PrintPackingSlip): Promise<PaperFile> {
  return call("print_packing_slip", request);
}

/** The transport verdict of a return parcel. */
export function transportVerdict(request: ParcelKey): Promise<TransportView> {
  return call("transport_verdict", request);
}

/** Says how a return parcel goes. */
export function recordTransport(request: RecordTransport): Promise<TransportView> {
  return call("record_transport", request);
}

/** Lets a parcel go where the law leaves a trained shipper a choice. */
export function decideTransport(request: DecideTransport): Promise<TransportView> {
  return call("decide_transport", request);
}

/** Prints the packing instruction of a return parcel, with the marks, words and sentences that its verdict asks for. */
export function printTransportPapers(request: PrintTransportPapers): Promise<Array<ParcelPaper>> {
  return call("print_transport_papers", request);
}

/** Prints the label of a device or cell in the Cell bay. */
export function printBayLabel(request: PrintBayLabel): Promise<PaperFile> {
  return call("print_bay_label", request);
}

/** Prints the record that goes with a cell handed to a recycler. */
export function printHandover(request: PrintHandover): Promise<PaperFile> {
  return call("print_handover", request);
}

/** Hands a return parcel to its carrier. */
export function shipParcel(request: ShipParcel): Promise<ParcelView> {
  return call("ship_parcel", request);
}

/** Every shop. */
export function shops(): Promise<ShopsView> {
  return call("shops", {});
}

/** One shop. */
export function shop(request: ShopKey): Promise<ShopView> {
  return call("shop", request);
}

/** Adds or changes a shop. */
export function saveShop(request: SaveShop): Promise<ShopView> {
  return call("save_shop", request);
}

/** Makes a one-time link by which a shop's user signs in. */
export function inviteShopUser(request: InviteShopUser): Promise<ShopInvitation> {
  return call("invite_shop_user", request);
}

/** The whole rule book about cells. */
export function ruleBook(): Promise<RuleBookView> {
  return call("rule_book", {});
}

/** Adds a newer row to the rule book. */
export function updateRule(request: UpdateRule): Promise<RuleBookView> {
  return call("update_rule", request);
}

/** Records a person's training for lithium shipments. */
export function recordTraining(request: RecordTraining): Promise<RuleBookView> {
  return call("record_training", request);
}

/** All that is set up. */
export function setup(): Promise<SetupView> {
  return call("setup", {});
}

/** Changes the lab's description. */
export function describeLab(request: DescribeLab): Promise<SetupView> {
  return call("describe_lab", request);
}

/** Adds or changes a person. */
export function savePerson(request: SavePerson): Promise<SetupView> {
  return call("save_person", request);
}

/** Adds or changes a test. */
export function saveTest(request: SaveTest): Promise<SetupView> {
  return call("save_test", request);
}

/** Every board that is known. */
export function boards(): Promise<BoardsView> {
  return call("boards", {});
}

/** One board. */
export function board(request: BoardKey): Promise<BoardView> {
  return call("board", request);
}

/** Adds or changes a board. */
export function saveBoard(request: SaveBoard): Promise<BoardView> {
  return call("save_board", request);
}

/** Adds or changes a part of a board. */
export function saveBoardPart(request: SaveBoardPart): Promise<BoardView> {
  return call("save_board_part", request);
}

/** Says that heat on one part reaches another, or that it does not. */
export function setNearness(request: SetNearness): Promise<BoardView> {
  return call("set_nearness", request);
}

/** Adds a neighbour from the bench. */
export function addNeighbour(request: AddNeighbour): Promise<Nothing> {
  return call("add_neighbour", request);
}

/** Every lot of parts. */
export function lots(): Promise<LotsView> {
  return call("lots", {});
}

/** One lot with all that was recorded about it. */
export function lot(request: LotKey): Promise<LotView> {
  return call("lot", request);
}

/** Adds or changes a lot. */
export function saveLot(request: SaveLot): Promise<LotsView> {
  return call("save_lot", request);
}

/** Opens or closes a lot's bag. */
export function setLotBag(request: SetLotBag): Promise<LotsView> {
  return call("set_lot_bag", request);
}

/** Records a bake. */
export function recordBake(request: RecordBake): Promise<LotsView> {
  return call("record_bake", request);
}

/** Every procedure. */
export function procedures(): Promise<ProceduresView> {
  return call("procedures", {});
}

/** Adds or changes a procedure. */
export function saveProcedure(request: SaveProcedure): Promise<ProceduresView> {
  return call("save_procedure", request);
}

/** Sets the folder in which new pictures are picked up. */
export function setWatchedFolder(request: SetWatchedFolder): Promise<SetupView> {
  return call("set_watched_folder", request);
}

/** Says which job's place new pictures from the watched folder go to. */
export function aimWatchedFolder(request: AimWatchedFolder): Promise<Nothing> {
  return call("aim_watched_folder", request);
}

/** What the lab sets itself on its papers. */
export function paperSetup(): Promise<PaperSetupView> {
  return call("paper_setup", {});
}

/** Sets the mark beside the lab's name on papers. */
export function setLabMark(request: SetLabMark): Promise<PaperSetupView> {
  return call("set_lab_mark", request);
}

/** Takes the mark off papers. */
export function removeLabMark(): Promise<PaperSetupView> {
  return call("remove_lab_mark", {});
}

/** Sets what the lab says on papers in its own words. */
export function setPaperTexts(request: SetPaperTexts): Promise<PaperSetupView> {
  return call("set_paper_texts", request);
}

/** Draws a paper of an invented job as it will print. */
export function previewPapers(request: PreviewPapers): Promise<PaperFile> {
  return call("preview_papers", request);
}

/** The printers of this computer, and which are chosen. */
export function printers(): Promise<PrintersView> {
  return call("printers", {});
}

/** Chooses the printer for a kind of paper at this desktop. */
export function choosePrinter(request: ChoosePrinter): Promise<PrintersView> {
  return call("choose_printer", request);
}

/** Makes a page by which a printer shows whether it keeps true sizes. */
export function makeTestPage(request: MakeTestPage): Promise<PaperFile> {
  return call("make_test_page", request);
}

/** One page of a paper, to be looked at in the window. */
export function showPage(request: ShowPage): Promise<ShownPage> {
  return call("show_page", request);
}

/** Prints a paper at its true size. */
export function printPaper(request: PrintPaper): Promise<Printed> {
  return call("print_paper", request);
}

/** Writes a backup. */
export function backUp(request: BackUp): Promise<BackedUp> {
  return call("back_up", request);
}

/** Checks every entry of the logbook. */
export function verifyLogbook(): Promise<Verified> {
  return call("verify_logbook", {});
}

