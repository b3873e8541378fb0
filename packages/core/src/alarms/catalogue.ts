export type Priority = 'low' | 'medium' | 'high'

/** A kind of alarm. An alarm always asks for something to be done (ISA-18.2); what does not is an event in the log. */
export interface AlarmKind {
  readonly code: AlarmCode
  readonly priority: Priority
  /** It must last this long before it is raised, s: a short silence or a restart calls nobody. */
  readonly onDelay_s: number
  /** It must be away this long before it counts as returned, s: what comes and goes rings once. */
  readonly offDelay_s: number
  readonly reason: string
  readonly instruction: string
  /** While one of these is active for the same batch, this one is a consequence and stays quiet. */
  readonly causes: readonly AlarmCode[]
  /** Once it is away nobody needs to have seen it: an answered question asks for nothing. Left out: it waits to be seen. */
  readonly endsByItself?: true
}

export type AlarmCode =
  | 'beer-temperature-unknown'
  | 'limit-broken'
  | 'no-response'
  | 'instrument-lost'
  | 'instruments-disagree'
  | 'instrument-stuck'
  | 'question-open'
  | 'batch-held'
  | 'storage-trouble'
  | 'appliance-unreachable'
  | 'appliance-left'
  | 'broker-unreachable'
  | 'channel-failed'
  | 'clock-wrong'
  | 'batch-not-kept'

const MINUTE_S = 60
const HOUR_S = 3600

/** Delays are common practice (no source) but for the 60 s of a temperature alarm, which handbooks give (from memory). */
export const ALARM_KINDS: readonly AlarmKind[] = [
  {
    code: 'limit-broken',
    priority: 'high',
    onDelay_s: MINUTE_S,
    offDelay_s: 10 * MINUTE_S,
    reason: "The beer is beyond the plan's limits.",
    instruction:
      'Look at the vessel: is the probe in the beer, does an appliance run that should not, is the door shut?',
    causes: [],
  },
  {
    code: 'beer-temperature-unknown',
    priority: 'high',
    onDelay_s: 5 * MINUTE_S,
    offDelay_s: 5 * MINUTE_S,
    reason:
      "No instrument is believed for the beer's temperature, so nothing is switched on; a thermostat keeps its last target.",
    instruction: 'Look at the probe, its cable and its battery, and at the network.',
    causes: [],
  },
  {
    code: 'no-response',
    priority: 'high',
    onDelay_s: 0,
    offDelay_s: 0,
    reason: 'An appliance ran, and the temperature did not answer: it has been stopped.',
    instruction:
      'Is the probe in the beer? Does the appliance have power? When it is mended, answer the question.',
    causes: ['appliance-unreachable'],
  },
  {
    code: 'storage-trouble',
    priority: 'high',
    onDelay_s: 0,
    offDelay_s: MINUTE_S,
    reason:
      'Records can not be written, or are damaged. Running batches are still controlled, but what happens now may be lost.',
    instruction:
      'Make room on the disk, or look at its state; where the file of the records is gone or damaged, fetch a backup now if that works, and restore the latest good one.',
    causes: [],
  },
  {
    code: 'appliance-unreachable',
    priority: 'high',
    onDelay_s: 2 * MINUTE_S,
    offDelay_s: 2 * MINUTE_S,
    reason:
      'Commands do not reach an appliance. One that keeps its lease goes off by itself when that lapses; a plain relay or a thermostat may stay as it is.',
    instruction:
      'Look at the appliance, its power and the network; what must not stay on, switch off by hand.',
    causes: [],
  },
  {
    code: 'appliance-left',
    priority: 'high',
    onDelay_s: 0,
    offDelay_s: 0,
    reason:
      'At the end of a batch an appliance could not be switched off: it may be on, and nobody watches it.',
    instruction: 'Go there and switch it off by hand. It is tried again each minute.',
    causes: [],
  },
  {
    code: 'broker-unreachable',
    priority: 'high',
    onDelay_s: MINUTE_S,
    offDelay_s: 2 * MINUTE_S,
    reason: 'The MQTT broker can not be used: no readings come in by it, and no commands go out.',
    instruction: 'Look at the broker, its machine, its list of passwords and the network.',
    causes: [],
  },
  {
    code: 'instrument-stuck',
    priority: 'medium',
    onDelay_s: 0,
    offDelay_s: 30 * MINUTE_S,
    reason:
      'A thermometer goes on to report exactly the same value, although time, an appliance or another instrument says that it must have moved.',
    instruction:
      'Warm the probe in your hand, or compare it with another: if it does not move, give it power anew, or exchange it.',
    causes: ['beer-temperature-unknown', 'instrument-lost'],
  },
  {
    code: 'instruments-disagree',
    priority: 'medium',
    onDelay_s: 0,
    offDelay_s: 30 * MINUTE_S,
    reason: 'Two instruments for the same quantity contradict each other.',
    instruction: 'Compare both with a third: one hangs in the air, or has drifted.',
    causes: ['limit-broken', 'instrument-stuck'],
  },
  {
    code: 'batch-held',
    priority: 'medium',
    onDelay_s: 0,
    offDelay_s: 0,
    reason: 'The plan has held the batch: it keeps its temperature, but does not move on.',
    instruction: 'Look at what it asks, and answer when it may go on.',
    causes: ['limit-broken'],
    endsByItself: true,
  },
  {
    code: 'instrument-lost',
    priority: 'medium',
    onDelay_s: 30 * MINUTE_S,
    offDelay_s: 10 * MINUTE_S,
    reason: 'An instrument is silent, or what it says is not believed.',
    instruction: 'Look at its battery and its place; another instrument may be standing in for it.',
    causes: ['beer-temperature-unknown'],
  },
  {
    code: 'question-open',
    priority: 'low',
    onDelay_s: 0,
    offDelay_s: 0,
    reason: 'The plan asks you something, and waits.',
    instruction: 'Answer the question.',
    causes: ['no-response', 'limit-broken'],
    endsByItself: true,
  },
  {
    code: 'batch-not-kept',
    priority: 'high',
    onDelay_s: 0,
    offDelay_s: 0,
    reason:
      'A batch could not be taken up, or the engine has failed on it: nobody looks after this beer. Its appliances were told off, or go off when their lease lapses.',
    instruction:
      'Mend what it says and take the batch up (attemper take-up; with --plan, when its plan cannot be read), or stop it. Until then look after the beer yourself.',
    causes: [],
    endsByItself: true,
  },
  {
    code: 'clock-wrong',
    priority: 'medium',
    onDelay_s: 0,
    offDelay_s: 0,
    reason:
      "The machine's clock was set, or does not fit the records. The times of running batches were moved with it, so none of them stands still or ages by it; devices that date their readings themselves may be refused.",
    instruction:
      'Look at the time that the cellar shows. Let the machine take it from the network, and the cellar wait for that at a start; in the log of the batch stands how far its times were moved.',
    causes: [],
  },
  {
    code: 'channel-failed',
    priority: 'medium',
    onDelay_s: 0,
    offDelay_s: HOUR_S,
    reason: 'A way of reaching you does not work.',
    instruction: 'Try it from the settings, and mend its address.',
    causes: [],
  },
]

const BY_CODE = new Map(ALARM_KINDS.map(kind => [kind.code, kind]))

export function alarmKind(code: AlarmCode): AlarmKind {
  return BY_CODE.get(code)!
}
