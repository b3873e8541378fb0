/**
 * Who may import whom. This is the only place where the table stands: scripts/tidy.ts enforces it, and copies it into
 * ARCHITECTURE.md. Anything that is not listed is not allowed, and `instead` says to the person who trips over it what
 * to do.
 *
 * A unit is a folder, or a single file that stands alone, below packages/. The longest name that fits a file wins.
 */
export interface ImportRule {
  readonly unit: string
  /** Units from which values and types may be imported. */
  readonly may: readonly string[]
  /** Units or files from which only `import type` is allowed. */
  readonly typesOf: readonly string[]
  /** Packages from outside; 'node:' stands for all of Node's own modules. */
  readonly packages: readonly string[]
  readonly instead: string
}

/** Everybody may import these, and they import nothing but each other. */
export const COMMON = ['core/units', 'core/random', 'core/place.ts', 'core/finding.ts'] as const

const NO_PACKAGES = [] as const

export const IMPORT_TABLE: readonly ImportRule[] = [
  {
    unit: 'core/place.ts',
    may: [],
    typesOf: [],
    packages: NO_PACKAGES,
    instead: 'A place is plain data; keep what computes it in plan/.',
  },
  {
    unit: 'core/finding.ts',
    may: [],
    typesOf: [],
    packages: NO_PACKAGES,
    instead: 'A finding is plain data; make the sentence where the fault is found.',
  },
  {
    unit: 'core/units',
    may: ['core/units', 'core/formulas/gravity.ts', 'core/formulas/refractometer.ts'],
    typesOf: [],
    packages: NO_PACKAGES,
    instead:
      'Of brewing, units know only how gravity becomes extract (°P) and what a refractometer shows (°Bx): move the rest to formulas/.',
  },
  {
    unit: 'core/random',
    may: ['core/random'],
    typesOf: [],
    packages: ['pure-rand'],
    instead: 'Draw here, and let the caller say what the number means.',
  },
  {
    unit: 'core/formulas',
    may: ['core/formulas'],
    typesOf: [],
    packages: NO_PACKAGES,
    instead: 'A formula takes numbers, not a plan or a beer: pass the number in.',
  },
  {
    unit: 'core/source-text',
    may: ['core/source-text'],
    typesOf: [],
    packages: ['yaml'],
    instead:
      'This reads any text of named values with their places; what the names mean belongs to plan/, vessel/ or beer/.',
  },
  {
    unit: 'core/plan',
    may: ['core/plan', 'core/source-text', 'core/formulas'],
    typesOf: ['core/vessel', 'core/beer'],
    packages: NO_PACKAGES,
    instead: 'A plan is text and data. What acts on it belongs to engine/, what judges it to proof/.',
  },
  {
    unit: 'core/vessel',
    may: ['core/vessel', 'core/source-text', 'core/plan', 'core/formulas'],
    typesOf: ['core/beer'],
    packages: NO_PACKAGES,
    instead: 'A vessel file is text and data. Its equations belong to world/heat.',
  },
  {
    unit: 'core/beer',
    may: ['core/beer', 'core/source-text', 'core/plan', 'core/formulas'],
    typesOf: ['core/vessel'],
    packages: NO_PACKAGES,
    instead: 'A beer file is text and data. Its equations belong to world/fermentation.',
  },
  {
    unit: 'core/engine',
    may: [
      'core/engine',
      'core/vessel/channels.ts',
      'core/vessel/timeout.ts',
      'core/vessel/reach.ts',
      'core/readiness/float-bounds.ts',
      'core/readiness/float-in-wort.ts',
    ],
    typesOf: ['core/plan', 'core/vessel', 'core/beer'],
    packages: NO_PACKAGES,
    instead:
      'The engine must not know whether the world is real: hand in what it needs as a reading or as data of the program.',
  },
  {
    unit: 'core/beer-reading',
    may: ['core/beer-reading'],
    typesOf: [],
    packages: NO_PACKAGES,
    instead:
      'This reads any record of gravities and temperatures, from a file or a float: hand in numbers, not a plan, a vessel or a journal.',
  },
  {
    unit: 'core/readiness',
    may: [
      'core/readiness',
      'core/engine/kleene.ts',
      'core/engine/trend.ts',
      'core/vessel/channels.ts',
      'core/vessel/timeout.ts',
      'core/vessel/reach.ts',
    ],
    typesOf: ['core/vessel', 'core/beer'],
    packages: NO_PACKAGES,
    instead: 'Readiness is judged from readings that are handed in; who fetches them belongs to the server.',
  },
  {
    unit: 'core/alarms',
    may: ['core/alarms', 'core/engine/belief.ts'],
    typesOf: ['core/engine'],
    packages: NO_PACKAGES,
    instead:
      "An alarm is read off the engine's state; what rings, and where, belongs to the server's notify/.",
  },
  {
    unit: 'core/world',
    may: ['core/world', 'core/formulas', 'core/vessel/channels.ts'],
    typesOf: ['core/vessel', 'core/beer', 'core/plan', 'core/engine/contract.ts', 'core/engine/events.ts'],
    packages: NO_PACKAGES,
    instead:
      'The world obeys commands and gives readings; what joins it with the engine belongs to rehearsal/.',
  },
  {
    unit: 'core/proof',
    may: [
      'core/proof',
      'core/plan',
      'core/vessel',
      'core/beer',
      'core/engine',
      'core/readiness',
      'core/formulas',
    ],
    typesOf: [],
    packages: NO_PACKAGES,
    instead: 'Proof-reading simulates nothing: what has to be run belongs to rehearsal/.',
  },
  {
    unit: 'core/bench',
    may: ['core/bench', 'core/formulas'],
    typesOf: ['core/plan', 'core/vessel'],
    packages: NO_PACKAGES,
    instead: 'A tuning rule takes the numbers of a model, not a vessel that runs.',
  },
  {
    unit: 'core/rehearsal',
    may: [
      'core/rehearsal',
      'core/world',
      'core/engine',
      'core/plan',
      'core/vessel',
      'core/beer',
      'core/proof',
      'core/formulas',
    ],
    typesOf: [],
    packages: NO_PACKAGES,
    instead: 'A rehearsal answers with data (result.ts); the sentences about it belong to report/.',
  },
  {
    unit: 'core/report',
    may: ['core/report', 'core/formulas'],
    typesOf: [
      'core/plan',
      'core/vessel',
      'core/beer',
      'core/engine',
      'core/proof',
      'core/world',
      'core/rehearsal',
    ],
    packages: NO_PACKAGES,
    instead: 'A report only speaks about results: compute them before, and hand them over as data.',
  },
  {
    unit: 'core/batch',
    may: ['core/batch', 'core/plan', 'core/vessel', 'core/beer', 'core/engine', 'core/alarms', 'core/report'],
    typesOf: [],
    packages: NO_PACKAGES,
    instead:
      'Here a batch is told from what is kept of it; who keeps it, and who asks, belongs to server/, cli/ or web/.',
  },
  {
    unit: 'server/store',
    may: ['server/store', 'core'],
    typesOf: [],
    packages: ['node:'],
    instead: 'The store keeps what it is handed and knows nobody: let the caller say what is to be kept.',
  },
  {
    unit: 'server/live',
    may: ['server/live', 'core'],
    typesOf: ['server/store', 'server/doors'],
    packages: ['node:'],
    instead:
      'A batch is kept behind contracts: hand in the store, the doors and the clock from main.ts. What people ask belongs to http/.',
  },
  {
    unit: 'server/doors',
    may: ['server/doors', 'core', 'server/live/timers.ts'],
    typesOf: ['server/live', 'server/store'],
    packages: ['node:', 'aedes', 'mqtt', 'cborg'],
    instead: 'A door hands readings in and commands out, and does not judge them: that belongs to live/.',
  },
  {
    unit: 'server/alarms',
    may: ['server/alarms', 'core'],
    typesOf: ['server/live', 'server/store'],
    packages: NO_PACKAGES,
    instead: 'Alarms are read off the states of batches and conditions; who is told belongs to notify/.',
  },
  {
    unit: 'server/notify',
    may: ['server/notify', 'core', 'server/live/clock.ts'],
    typesOf: ['server/alarms', 'server/live', 'server/store'],
    packages: ['node:', 'nodemailer'],
    instead: 'Who is told of an alarm, and how; whether there is one belongs to alarms/.',
  },
  {
    unit: 'server/retention',
    may: ['server/retention', 'core', 'server/live/software.ts'],
    typesOf: ['server/store'],
    packages: NO_PACKAGES,
    instead: 'The rule says what may be given up; what it takes to do so belongs to store/.',
  },
  {
    unit: 'server/http',
    may: [
      'server/http',
      'core',
      'server/live',
      'server/doors',
      'server/alarms',
      'server/notify',
      'server/retention',
      'server/store/store-error.ts',
    ],
    typesOf: ['server/store'],
    packages: ['node:', 'fastify', '@fastify/', 'typebox'],
    instead: 'A route translates between a request and a part of the cellar: let main.ts hand the part in.',
  },
  {
    unit: 'server',
    may: ['server', 'core'],
    typesOf: [],
    packages: ['node:', 'mqtt'],
    instead: 'The server lets the core run on real time; what a brewer types belongs to the command line.',
  },
  {
    unit: 'cli',
    may: ['cli', 'core', 'server'],
    typesOf: ['web/rehearsal-page/page-input.ts'],
    packages: ['node:', 'csv-parse', 'tinypool', 'yaml'],
    instead:
      'The command line joins the parts of the core and does its input and output; it needs few other packages. Of the screens it knows what was built of them.',
  },
  {
    unit: 'web',
    may: ['web', 'core'],
    typesOf: ['server/http/published.ts'],
    packages: ['svelte', 'uplot', '@codemirror/', '@lezer/'],
    instead:
      'The screens ask the cellar over HTTP, and rehearse with the core; of the server they know the published types only.',
  },
]
