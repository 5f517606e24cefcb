/** Plain words for every code the backend uses. A screen never shows a code; the types make sure that none is forgotten. */
import type {
  Assembly, AccountLock, AnswerWay, Answer, BenchLevel, Blemish, Block, BoardSide, CellAnswer, CellChemistry, CellDiagnosis, CellFinding, DeviceKind, Disputed, Face, HoldKind,
  IdentifierKind, IdentifierNote, InParcel, IsolationPlace, JobOutcome, Joint, Needs, ParcelFinding, ParcelStage, PartSource, Phase, PhotoPlace, PhotoState, Role, RuleCertainty,
  MeasuredAt, MoistureLevel, NearWay, Stage, Station, TagStock, TestReason, Unit, Verdict, WarmedBy,
} from '../backend/generated'
import type { Option } from '../parts/types'

type Words<Code extends string> = Record<Code, string>

export const deviceKind: Words<DeviceKind> = { phone: 'phone', tablet: 'tablet', laptop: 'laptop', handheld: 'handheld' }

export const stage: Words<Stage> = {
  advised: 'advised', receiving: 'receiving', inspecting: 'inspecting', holding: 'holding', repairing: 'repairing', proving: 'proving', packing: 'packing',
  shipping: 'shipping', returned: 'returned', destroyed: 'destroyed',
}

export const parcelStage: Words<ParcelStage> = { advised: 'announced', received: 'to count', counted: 'counted', packing: 'being packed', shipped: 'shipped' }

export const station: Words<Station> = {
  advice: 'Advice', dock: 'Dock', cell_check: 'Cell check', look_over: 'Look-over', before: 'Before', quote: 'Quote', work: 'Work', after: 'After', report: 'Report',
  outbound: 'Outbound',
}

export const level: Words<BenchLevel> = { clear: 'clear', watch: 'watch', isolate: 'isolate', emergency: 'emergency' }

export const parcelFinding: Words<ParcelFinding> = {
  sound: 'sound, nothing wrong', crushed: 'crushed or dented', wet: 'wet, or was wet', opened: 'open, or was opened', retaped: 'taped again by someone', torn: 'torn or holed',
  bulging: 'bulging', warm: 'warm', smoking: 'smoking, or smells of solvent', other: 'something else',
}

/** What may be a cell at work: the parcel stays closed. The backend decides; this only puts them in a group of their own. */
export const dangerFindings: ParcelFinding[] = ['warm', 'bulging', 'smoking']

export const cellAnswer: Words<CellAnswer> = {
  swollen: 'swollen', leaking: 'leaking', hot: 'hot', burnt: 'burnt', pierced: 'cut or pierced', recalled: 'recalled by its maker', wet: 'wet', not_seen: 'not looked at by the shop', dropped: 'fell hard',
}

export const cellFinding: Words<CellFinding> = {
  nothing_wrong: 'seen, nothing wrong', not_seen: 'not seen: device closed, or cell hidden', missing: 'no cell in the device', swollen: 'swollen, or lifts the back or screen',
  pierced: 'cut or pierced', bent: 'dented, bent or crushed', leaking: 'leaking, or residue on it', solvent_smell: 'smells of solvent', hot: 'hot with nothing connected',
  warming: 'growing warmer by itself', smoking: 'smoking', hissing: 'hissing or popping', burning: 'burning', burnt: 'scorched or discoloured, cold now',
  vented: 'has vented earlier, cold now', connector_corroded: 'connector corroded, or powder on it', bare_conductor: 'bare tabs, torn insulation or flex',
  protection_fault: 'protection board missing or faulty', water_reached_it: 'water reached it', water_near_it: 'water in the device, unknown whether it reached the cell',
  hard_drop: 'hard drop or bent frame, the cell looks fine', loses_charge: 'does not hold its charge', recalled: 'recalled, or called defective by its maker',
  not_the_makers: "not the maker's, or of unknown origin",
}

/** The form lists findings as one looks: first whether it was seen, then what can't wait, then the rest. */
export const cellFindingGroups: { legend: string; findings: CellFinding[] }[] = [
  { legend: 'Was it seen?', findings: ['nothing_wrong', 'not_seen', 'missing'] },
  { legend: 'At work now', findings: ['burning', 'smoking', 'hissing', 'hot', 'warming', 'solvent_smell'] },
  { legend: 'Harmed', findings: ['swollen', 'pierced', 'bent', 'leaking', 'burnt', 'vented', 'bare_conductor', 'protection_fault'] },
  { legend: 'Water, knocks, origin', findings: ['water_reached_it', 'water_near_it', 'connector_corroded', 'hard_drop', 'loses_charge', 'recalled', 'not_the_makers'] },
]

export const diagnosis: Words<CellDiagnosis> = { sound: 'sound', undiagnosed: 'not diagnosed', damaged: 'damaged', critical: 'reacting, or was' }

export const isolationPlace: Words<IsolationPlace> = { bay: 'Cell bay', drum: 'drum', outdoors_box: 'outdoors box' }

export const chemistry: Words<CellChemistry> = {
  unknown: 'not known', li_ion: 'lithium-ion or lithium-polymer', li_metal: 'lithium metal, not rechargeable', na_ion: 'sodium-ion', hybrid: 'lithium-ion and lithium metal together',
}

export const warmedBy: Words<WarmedBy> = { journey: 'the journey or the sun', running: 'it was running', charging: 'it was charging' }

export const certainty: Words<RuleCertainty> = { primary: 'read in the rule itself', secondary: 'read in a summary of the rule', from_memory: 'from memory', own_derivation: 'our own derivation' }

export const identifierKind: Words<IdentifierKind> = { imei: 'IMEI', imeisv: 'IMEISV', meid: 'MEID', esn: 'ESN', eid: 'EID', iccid: 'ICCID', mac: 'MAC address', serial: 'serial number' }

export const identifierNote: Words<IdentifierNote> = {
  check_digit_computed: 'Fourteen digits were given; the check digit was worked out.', software_version_left_out: 'The software version at its end was left out.',
  not_programmed: 'This number is of a device that was never programmed.', test_number: 'This is a test number, not one of a sold device.',
  filling_left_out: 'A filling letter at its end was left out.', unusual_beginning: 'It begins unusually for its kind.', group_address: 'This address is of a group, not of one device.',
  locally_administered: 'This address was made up by the device and can change.', withheld: 'The device does not give its number away.',
}

export const face: Words<Face> = { front: 'front', back: 'back', top_edge: 'top edge', bottom_edge: 'bottom edge', left_edge: 'left edge', right_edge: 'right edge' }

export const blemish: Words<Blemish> = {
  scratch: 'scratch', crack: 'crack', dent: 'dent', chip: 'chip', bend: 'bend', missing_part: 'part missing', stain: 'stain', lifted: 'lifted or open seam', other: 'something else',
}

export const accountLock: Words<AccountLock> = { off: 'off: nobody is signed in', on: 'on: it answers to an account', not_known: "not known: it can't be started" }

export const phase: Words<Phase> = { before: 'before', after: 'after' }

export const verdict: Words<Verdict> = { pass: 'pass', fail: 'fail', not_applicable: 'has none', not_testable: 'not tested' }

export const joint: Words<Joint> = {
  fixed: 'fixed', still_failing: 'still failing', made_worse: 'worse', steady: 'steady', newly_testable: 'newly testable', not_proved: 'not proved',
  not_comparable: 'not comparable', not_applicable: 'not applicable',
}

export const assembly: Words<Assembly['kind']> = { closed: 'closed, all parts attached', open: 'open, all parts attached', parts_off: 'with parts off' }

export const needs: Words<Needs> = {
  nothing: 'as it is', attached: 'the parts named are attached', closed: 'closed, with all its parts', on_bench: 'open on the bench, with parts off or replaced',
}

export const testReason: Words<TestReason> = { fault: 'shows the declared fault', chosen: '', neighbour: 'neighbour of heat', extra: 'done besides' }

export const unit: Words<Unit> = {
  volt: 'volts (V)', ampere: 'amperes (A)', watt: 'watts (W)', ohm: 'ohms (Ω)', second: 'seconds (s)', celsius: 'degrees Celsius (°C)', percent: 'percent (%)',
  decibel_milliwatt: 'decibel-milliwatts (dBm)', count: 'a plain count',
}

export const side: Words<BoardSide> = { top: 'top: the side with the main parts', bottom: 'bottom: the other side' }

export const nearWay: Words<NearWay> = { same_side: 'on the same side', through_board: 'through the board' }

export const measuredAt: Words<MeasuredAt> = { tool: 'at the tool', package: 'on top of the part' }

export const moisture: Words<MoistureLevel> = {
  '1': '1: not sensitive', '2': '2: one year', '2a': '2a: four weeks', '3': '3: 168 hours', '4': '4: 72 hours', '5': '5: 48 hours', '5a': '5a: 24 hours', '6': '6: bake before each use',
}

export const partSource: Words<PartSource> = { new: 'new stock', donor: 'donor board', own: "the device's own, put back" }

export const holdKind: Words<HoldKind> = { part: 'a part', shop: 'something from the shop', other: 'something else' }

export const answer: Words<Answer> = { agree: 'agrees', refuse: 'refuses', ask: 'asks first' }

export const answerWay: Words<AnswerWay> = { portal: 'on the portal', told: 'by word', standing_limit: 'by its standing limit' }

export const outcome: Words<JobOutcome> = {
  repaired: 'repaired', repaired_in_part: 'repaired in part', no_fault_found: 'no fault found', not_repairable: 'not repairable', beyond_economic_repair: 'beyond economic repair',
  declined: 'declined', data_only: 'data only',
}

export const outcomeNote: Words<JobOutcome> = {
  repaired: 'The declared fault is fixed, every heated neighbour is proved, nothing is worse.', repaired_in_part: 'Something is fixed, and what is not is told to the shop.',
  no_fault_found: 'The declared fault could not be made to appear.', not_repairable: "It can't be repaired by this lab.", beyond_economic_repair: 'It can be repaired, for more than it is worth.',
  declined: 'The shop refused the quote; it goes back as it came.', data_only: 'Only its data was saved, as agreed.',
}

export const disputed: Words<Disputed> = {
  quote: 'Quote', outcome: 'Outcome', device: 'Device', identity: 'Identifiers', signs: 'Locks, seals and indicators', accessories: 'Accessories', tests: 'Tests chosen',
}

export const inParcel: Words<InParcel> = { expected: 'announced', found: 'found', missing: 'missing', extra: 'extra', packed: 'packed' }

export const photoPlace: Words<PhotoPlace> = {
  parcel: 'parcel', condition: 'condition as it came', cell: 'cell', before: 'the fault, before', diagnosis: 'the board, looking for the fault', work: 'work', after: 'the repair, after',
  packing: 'as packed',
}

export const photoState: Words<PhotoState> = { waiting: 'waits to be sent', sent: 'sent', elsewhere: 'not here yet: it comes from another desktop' }

export const role: Words<Role> = {
  receiver: 'receiver', technician: 'technician', second_pair: 'second pair of eyes', shipper: 'shipper', cell_expert: 'knows batteries', owner: 'owner', shop_user: "shop's user",
}

export const roleNote: Words<Role> = {
  receiver: 'opens parcels', technician: 'tests and repairs', second_pair: 'witnesses hold points', shipper: 'packs, trained for lithium', cell_expert: 'may judge a cell sound or damaged', owner: 'prices, figures, partners; may pass blocks',
  shop_user: 'sees only their own devices, on the portal',
}

export const tagStock: Words<TagStock> = { roll62_mm: 'roll, 62 mm wide', sheet_a4: 'label sheet, A4', sheet_letter: 'label sheet, Letter' }

/** The short way of saying what is missing, for the strip; the whole sentence stands where it can be put right. */
export const block: Words<Block> = {
  not_arrived: 'the device', has_left: 'it has left', read_only: 'a newer program', cell_not_checked: 'cell check', cell_not_clear: 'a clear cell', cell_undiagnosed: 'a diagnosis of the cell', identity_missing: 'an identifier',
  identity_differs: 'identity differs', signs_missing: 'locks and seals', tests_not_chosen: 'tests', before_missing: 'results before', quote_missing: 'a quote', not_agreed: "the shop's answer",
  held: 'a hold', no_work: 'a step of work', after_missing: 'results after', fault_not_fixed: 'the fault fixed', made_worse: 'something is worse', neighbour_not_proved: 'neighbours proved',
  disputed: 'a disagreement', outcome_missing: 'an outcome', report_missing: 'the report', shop_unknown: 'its shop',
  still_failing: 'something still fails', nothing_fixed: 'something better', not_closed: 'the closed device', results_differ: 'two results differ', fault_found: 'the fault did show',
  work_done: 'work was done', diagnosis_missing: 'a diagnosis', not_refused: "the shop's refusal", hold_point_open: 'hold points passed', jumper_not_accepted: 'a jumper that reads right',
}

/** What was passed with a reason, as the report prints it too. Blocks that nobody may pass are not here. */
export const passed: Partial<Words<Block>> = {
  identity_differs: 'The identifiers differ from the advice', tests_not_chosen: 'No test was chosen that shows the fault', before_missing: 'A test lacks its result before',
  after_missing: 'A test lacks its result after', fault_not_fixed: 'The declared fault is not fixed', made_worse: 'Something is worse than before', neighbour_not_proved: 'A heated neighbour is not proved',
  held: 'The job was on hold', still_failing: 'A test fails after the work', nothing_fixed: 'No test shows that anything is better than it was', not_closed: 'Tested after, but not in the closed device',
  fault_found: 'The declared fault did show before', work_done: 'The board was worked on', not_refused: 'The shop has not refused', jumper_not_accepted: 'A jumper does not read as its wire should',
}

/** What “repaired” says was shown. Where an owner passed one of these, the word stands by that person's reason alone. */
export const repairedClaims: Block[] = ['after_missing', 'fault_not_fixed', 'made_worse', 'neighbour_not_proved', 'still_failing', 'not_closed', 'jumper_not_accepted']

/** The codes of a table as options of a choice, in the order of the table or of `order`. */
export function options<Code extends string>(words: Words<Code>, notes?: Partial<Words<Code>>, order: Code[] = Object.keys(words) as Code[]): Option[] {
  return order.map((value) => ({ value, words: words[value], ...(notes?.[value] ? { note: notes[value] } : {}) }))
}

/** "1 device", "3 devices". */
export function many(count: number, one: string, more = `${one}s`): string {
  return `${count} ${count === 1 ? one : more}`
}

/** "a, b and c". */
export function list(words: string[]): string {
  return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}

/** A phrase of the backend as a sentence: a capital in front, a stop behind. */
export function sentence(text: string): string {
  const capital = text.charAt(0).toLocaleUpperCase('en') + text.slice(1)
  return /[.?!”]$/.test(capital) || capital === '' ? capital : `${capital}.`
}
