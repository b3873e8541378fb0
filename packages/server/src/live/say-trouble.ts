import { sayReach } from '@attemper/core/batch/journal-line.ts'
import { sayClockSet } from '@attemper/core/batch/say-clock-set.ts'
import { USUAL_UNITS } from '@attemper/core/units/display.ts'
import type { Kept, NotTakenUp, Trouble } from './trouble.ts'

/** How loud the log says it: an error is something lost, or a beer or an appliance that is not under control. */
export function levelOf({ kind }: Trouble): 'info' | 'warning' | 'error' {
  switch (kind) {
    case 'records kept again':
    case 'appliance heard':
    case 'doors closed':
    case 'clock steady':
    case 'settled':
      return 'info'
    case 'entries lost':
    case 'doors not closed':
    case 'engine failed':
    case 'not taken up':
    case 'vessel unreadable':
      return 'error'
    case 'records failing':
    case 'appliance unheard':
    case 'clock set':
    case 'listener failed':
      return 'warning'
  }
}

/** A trouble as it stands in the log: what is wrong, and what would be right. */
export function sayTrouble(trouble: Trouble): string {
  const { batch } = trouble
  switch (trouble.kind) {
    case 'records failing':
      return `${recordsOf(trouble.what, batch)} can not be written (${trouble.reason}). ${REMEDY[trouble.what]}`
    case 'records kept again':
      return `${recordsOf(trouble.what, batch)} can be written again, and what was missing has been added.`
    case 'entries lost':
      return `${trouble.count} entries of the journal of ${batch} are lost: the records could not be written for too long (${trouble.reason}).`
    case 'appliance unheard':
      return sayReach(trouble.appliance, trouble.problem, USUAL_UNITS)
    case 'appliance heard':
      return sayReach(trouble.appliance, null, USUAL_UNITS)
    case 'doors not closed':
      return `The appliances of ${trouble.vessel} could not be left in a safe state (${trouble.problem}): one may be on. Look at them. It is tried again.`
    case 'doors closed':
      return `The appliances of ${trouble.vessel} are off now.`
    case 'clock set':
      return `${sayClockSet(trouble)} Look at the machine's clock, and let it take the time from the network.`
    case 'clock steady':
      return "The machine's clock has not been set for an hour."
    case 'engine failed':
      return `The engine has failed on ${batch} (${trouble.reason}): nothing is decided for it now, look after this beer yourself.`
    case 'not taken up':
      return `${batch} can not be taken up: ${sayNotTakenUp(trouble)}`
    case 'settled':
      return `${batch} is looked after again, or has ended.`
    case 'vessel unreadable':
      return `The text of the vessel ${trouble.vessel} can not be read any more.`
    case 'listener failed':
      return `Somebody who was told of a change has failed: ${trouble.reason}`
  }
}

const MAKE_ROOM = 'Make room on the disk, else what happens now is lost when the software stops.'

const REMEDY: Readonly<Record<Kept, string>> = {
  journal: `The batch goes on being controlled. ${MAKE_ROOM}`,
  readings: 'Make room on the disk; the sender should send them again.',
  alarms: MAKE_ROOM,
  messages: MAKE_ROOM,
  file: 'Running batches are still controlled.',
  pages: 'Running batches go on; restore the latest good backup.',
  'end of the batch': 'The next start of the software ends it then. Make room on the disk.',
}

function recordsOf(what: Kept, batch: string | null): string {
  switch (what) {
    case 'journal':
      return `The journal of ${batch}`
    case 'readings':
      return 'Readings'
    case 'alarms':
      return 'Alarms'
    case 'messages':
      return 'Messages that are to be sent'
    case 'file':
      return 'The records'
    case 'pages':
      return 'Some readings of the past'
    case 'end of the batch':
      return `The end of ${batch}`
  }
}

export function sayNotTakenUp(reason: NotTakenUp): string {
  switch (reason.why) {
    case 'texts':
      return reason.findings.join(' ')
    case 'no vessel':
      return `${reason.vessel} is not there any more.`
    case 'vessel busy':
      return `${reason.other} runs in ${reason.vessel} now. Stop the old one.`
    case 'clash':
      return `${reason.clash} Correct the vessels.`
    case 'fault':
      return reason.reason
  }
}
