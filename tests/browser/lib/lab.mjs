/**
 * A lab of our own for a suite: a desk without a window, with invented shops, parcels and jobs at every station.
 *
 * All of it is recorded by the same commands that the screens call, so that a suite starts from what a person could have done.
 */
import { join } from 'node:path'
import { program, scratchFolder, screens } from './places.mjs'
import { firstLine, start } from './processes.mjs'

const READY_MS = 30_000
const OUTPUT_FD = 1

const LAB = {
  name: 'Solder Lane Works', address_lines: ['4 Solder Lane', '24103 Kiel'], country: 'DE', phone: '+49 431 5550100',
  email: 'bench@solder-lane.example', zone: 'Europe/Berlin', currency: 'EUR', warranty_days: 180,
}

const SHOPS = [
  ['Harbour Phones', 'Quay 3', 'counter@harbour-phones.example', '60.00'],
  ['The Very Long Name of a Shop that Repairs Everything between Two Rivers', 'Bridge Street 118, back yard, second staircase', 'front.desk@between-two-rivers.example', '0.00'],
]

const DEVICES = [
  { kind: 'phone', maker: 'Lumo', model: 'M2', colour: 'grey', fault: 'Does not turn on after a drop', identifier: '490154203237518' },
  { kind: 'tablet', maker: 'Aurel', model: 'Slate 9', colour: 'white', fault: 'Touch dead in the lower third of the display', identifier: '' },
  { kind: 'handheld', maker: 'Pibo', model: 'Pocket', colour: 'red', fault: 'No sound', identifier: '' },
  { kind: 'laptop', maker: 'Norvik', model: 'Fourteen with a long name for its edition of the year', colour: 'black', fault: 'Shuts down at random, even on its supply, and the fan runs at full speed for minutes before it does', identifier: '' },
  { kind: 'phone', maker: 'Lumo', model: 'M1 mini', colour: 'blue', fault: 'Battery swollen, back lifts', identifier: '' },
]

/** The commands of a desk that runs. */
export class Desk {
  constructor(url) {
    const { origin, hash } = new URL(url)
    this.url = url
    this.origin = origin
    this.token = new URLSearchParams(hash.slice(1)).get('token')
  }

  /** Runs a command; its refusal is thrown with its own sentence. */
  async call(name, request = {}) {
    const answer = await fetch(`${this.origin}/call/${name}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-waybench-token': this.token },
      body: JSON.stringify(request),
    })
    const body = await answer.json()
    if (!answer.ok) throw new Error(`${name}: ${body.message}`)
    return body
  }
}

/** Starts the desk on a lab's folder. Returns `{ desk, stop() }`. */
export async function startDesk(lab, { offline = true } = {}) {
  const words = ['--lab', lab, '--ui', screens, ...(offline ? ['--offline'] : [])]
  const twin = start(program('twin'), words, { pipeFd: OUTPUT_FD, openInput: true, logPath: `${lab}.log` })
  const desk = new Desk(await firstLine(twin, 'the address of the desk', READY_MS))
  return { desk, stop: twin.stop }
}

/** Starts a desk on an empty folder. */
export function startEmptyDesk() {
  return startDesk(join(scratchFolder(), 'lab'))
}

/** Founds a lab with two shops and a parcel of five devices that nobody has looked at. Returns the shops and the jobs' rows. */
export async function found(desk) {
  await desk.call('found_lab', { lab: LAB, owner_name: 'Ines Kallweit', desktop_name: 'Bench 1' })
  await desk.call('save_person', { person_id: null, name: 'Tom Abiola', roles: ['technician', 'second_pair'], left: false })
  const shops = []
  for (const [name, street, email, limit] of SHOPS) {
    const description = { name, address_lines: [street, '24937 Flensburg'], country: 'DE', phone: '+49 461 5550101', email, currency: 'EUR' }
    shops.push((await desk.call('save_shop', { shop_id: null, description, standing_limit: limit })).shop)
  }
  const devices = await takeIn(desk, shops[0].shop_id, '1Z12345E0205271688', DEVICES)
  return { shops, devices }
}

/** Records a lab in an empty desk. Returns what the suites start from: shops, and jobs by the name of what they show. */
export async function furnish(desk) {
  const { shops, devices } = await found(desk)
  await desk.call('receive_parcel', { parcel_id: null, scanned: '1Z12345E6605272234', shop_id: shops[1].shop_id })
  const [finished, quoted, fresh, checked, swollen] = devices
  await finish(desk, finished)
  await proveBefore(desk, quoted, 'fail')
  await desk.call('set_quote', quote(quoted, '184.50'))
  await desk.call('record_cell_check', cell(checked))
  await desk.call('record_cell_check', { ...cell(swollen), check: { ...cell(swollen).check, findings: ['swollen'] } })
  return { shops, jobs: { finished, quoted, fresh, checked, swollen } }
}

/**
 * The finished job's device once more, with the same identifier: its first stay has a report and was shipped. Returns both jobs' rows; the second
 * has been tested before, and its report is made by `sendBack`.
 */
export async function comeBack(desk) {
  const { shops, devices: [first] } = await found(desk)
  await finish(desk, first)
  await desk.call('make_report', { job_id: first.job_id, size: 'a4' })
  const parcel_id = await packed(desk, shops[0], first)
  await desk.call('ship_parcel', { parcel_id, tracking: '395060001234567894', carrier: '' })
  const [again] = await takeIn(desk, shops[0].shop_id, 'RR100000003DE', [{ ...DEVICES[0], fault: 'Does not turn on, as before' }])
  await proveBefore(desk, again, 'fail')
  return { first, again }
}

/**
 * A second device of the finished job's model, with the same fault, as far as its tests before: what was written for the first can
 * be taken over. Returns both jobs' rows.
 */
export async function likeBefore(desk) {
  const { shops, devices: [first] } = await found(desk)
  await finish(desk, first)
  const second = await oneMore(desk, shops[0])
  await proveBefore(desk, second, 'fail')
  return { first, second }
}

/** One more device of the first one's model and with its fault, from the same shop. Returns its row. */
export async function oneMore(desk, shop) {
  const [job] = await takeIn(desk, shop.shop_id, 'RR100000003DE', [{ ...DEVICES[0], identifier: '356938035643809' }])
  return job
}

/** A return parcel with this one device, weighed, judged for the road, and ready to go. Returns its id. */
export async function packed(desk, shop, job, { packages = 1 } = {}) {
  const { parcel } = await desk.call('open_return_parcel', { shop_id: shop.shop_id })
  const { parcel_id } = parcel
  await desk.call('pack_device', { parcel_id, scanned: job.reference })
  await desk.call('weigh_parcel', { parcel_id, grams: '412' })
  await desk.call('record_transport', {
    parcel_id,
    plan: {
      regime: 'ADR', mode: 'GROUND', carrier: 'none', packages, powered_off: true, batteries_original: true, charge_rated_pct: null, charge_shown_pct: 25,
      outside_us_lower_48: null,
    },
  })
  return parcel_id
}

/** The shop refuses, and the device goes back as it came, with its report. */
export async function sendBack(desk, job) {
  const { job_id } = job
  await desk.call('set_quote', quote(job, '310.00'))
  await desk.call('record_decision', { job_id, answer: 'refuse', note: 'Their customer wants it back' })
  await desk.call('set_outcome', { job_id, outcome: 'declined', words: 'It goes back as it came.', warranty_days: '' })
  await desk.call('make_report', { job_id, size: 'a4' })
}

const LONG_DEVICE = {
  kind: 'laptop', maker: 'Norvik of the Northern Works', model: 'Fourteen with a long name for its edition of the year and its keyboard', colour: 'black',
  fault: 'Trackpad lifts on one side', identifier: '',
}

/**
 * Fills the Cell bay: one swollen that is put away nowhere, one put away at a place with a long name and held, one watched, one that
 * hisses, one taken out, and one handed to a recycler. Returns the jobs' rows and the ids of the cells by what they show.
 */
export async function fillBay(desk, shops) {
  const parcel = (shop, scanned, devices) => takeIn(desk, shop.shop_id, scanned, devices.map((device) => ({ ...device, identifier: '' })))
  const [swollen, watched, hissing, taken, gone] = await parcel(shops[0], 'RR100000003DE', DEVICES)
  const [long] = await parcel(shops[1], 'RR100000017DE', [LONG_DEVICE])
  const look = (job, findings, changes = {}) => desk.call('record_cell_check', { ...cell(job), check: { ...cell(job).check, findings, ...changes } })
  await look(swollen, ['swollen'])
  await look(watched, ['hard_drop'])
  await look(hissing, ['hissing', 'hot'], { surface: '58', room: '21.5' })
  const subject = { kind: 'job', id: long.job_id }
  await look(long, ['swollen', 'bent', 'loses_charge'], { note: 'Lifts the trackpad by 3 mm; the seam is open over its whole length, and the back is bent.' })
  await desk.call('place_in_isolation', { subject, place: 'outdoors_box', position: 'Second shelf from below, behind the door to the yard' })
  for (const [surface, voltage] of [['22.4', '11.31'], ['22.0', '11.30'], ['21.8', '11.28']]) {
    await desk.call('take_cell_reading', { subject, reading: { ...READING, findings: ['swollen'], surface, voltage } })
  }
  await desk.call('hold_cell', { subject, reason: 'the recycler of the two rivers collects on the last Friday of the month' })
  const out = async (job, findings) => {
    await look(job, findings)
    const { row } = await desk.call('remove_cell', { job_id: job.job_id, place: 'drum', position: 'D2', note: '' })
    return row
  }
  const removed = await out(taken, ['pierced'])
  const left = await out(gone, ['swollen'])
  await desk.call('hand_over_cell', { cell_id: left.subject.id, recycler: 'Copper & Cobalt Recovery, works at the northern quay', paper_number: 'BN-2026-00417', date: '', note: '' })
  return { swollen, watched, hissing, long, taken, removed, left }
}

const READING = { findings: [], voltage: '', cells_in_series: '', surface: '', room: '21.0', warmed_by: null, note: '' }

/** A parcel that arrived warm and bulging. Returns its id. */
export async function dangerousParcel(desk, shop, scanned) {
  const { parcel } = await desk.call('receive_parcel', { parcel_id: null, scanned, shop_id: shop.shop_id })
  await desk.call('record_parcel_findings', { parcel_id: parcel.parcel_id, findings: ['warm', 'bulging'], note: 'one side is round, and warm under the back of the hand' })
  return parcel.parcel_id
}

/** Takes a parcel in that nobody announced, with these devices. Returns the jobs' rows. */
async function takeIn(desk, shopId, scanned, extra) {
  const { parcel } = await desk.call('receive_parcel', { parcel_id: null, scanned, shop_id: shopId })
  await desk.call('record_parcel_findings', { parcel_id: parcel.parcel_id, findings: ['sound'], note: '' })
  const counted = await desk.call('count_parcel', { parcel_id: parcel.parcel_id, found: [], extra, note: '' })
  return counted.devices.map(({ job }) => job)
}

function cell(job) {
  return {
    job_id: job.job_id,
    check: {
      findings: ['nothing_wrong'], voltage: '3.82', cells_in_series: '1', surface: '21.5', room: '21.0', warmed_by: null,
      chemistry: 'li_ion', label_wh: '11.9', nominal_v: '3.85', capacity_mah: '3100', charge_max_v: '4.40', note: '',
    },
  }
}

function quote(job, amount) {
  return {
    job_id: job.job_id, lines: [{ text: 'Renew the charging circuit', amount }], fee_if_refused: '25.00',
    promised_date: new Date(Date.now() + 7 * 86_400_000).toISOString().slice(0, 10), note: '',
  }
}

/** Everything up to the choice of tests: the cell, who the device is, signs and condition. */
export async function checkedIn(desk, job) {
  const { job_id } = job
  await desk.call('record_cell_check', cell(job))
  await desk.call('record_identity', { job_id, texts: job.identifiers.length > 0 ? job.identifiers : ['SN-4711-0815'] })
  await desk.call('record_signs', {
    job_id, signs: { account_lock: 'off', liquid_indicator_turned: false, screws_missing: 0, seal_broken: false, earlier_work: false, note: '' },
  })
  await desk.call('record_condition', { job_id, condition: { face: 'back', x_permille: 320, y_permille: 240, blemish: 'scratch', note: 'near the camera', photos: [] } })
}

/** Everything up to the results before. */
async function proveBefore(desk, job, result) {
  const { job_id } = job
  await checkedIn(desk, job)
  await desk.call('choose_tests', { job_id, codes: ['power.start'], shows_fault: ['power.start'] })
  await desk.call('record_result', { job_id, phase: 'before', code: 'power.start', result: { kind: result }, note: '', photos: [], assembly: { kind: 'closed' }, trace: null })
}

/** A whole repair under the shop's standing limit, ready to be packed. */
async function finish(desk, job) {
  const { job_id } = job
  await proveBefore(desk, job, 'fail')
  await desk.call('record_diagnosis', { job_id, text: 'The main supply is shorted to ground', suspect: 'C4012', readings: [] })
  await desk.call('set_quote', quote(job, '49.00'))
  await desk.call('record_step', {
    job_id, text: 'Removed C4012 and fitted a new one', procedure: 'Two-terminal ceramic, 0402', tool: 'Hot air', parts: [], heat: null,
    witness_id: null, photos: [],
  })
  await desk.call('record_result', { job_id, phase: 'after', code: 'power.start', result: { kind: 'pass' }, note: '', photos: [], assembly: { kind: 'closed' }, trace: null })
  await desk.call('set_outcome', { job_id, outcome: 'repaired', words: 'Starts and charges.', warranty_days: '180' })
}
