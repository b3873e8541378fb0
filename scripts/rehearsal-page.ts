import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { drillsFor } from '@attemper/core/rehearsal/drills.ts'
import { RISKS } from '@attemper/core/rehearsal/risks.ts'
import { prepare } from '@attemper/core/rehearsal/setup.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'

const INTRODUCTION = `A rehearsal runs a plan some hundreds of times by the engine that would also run the batch, in a simulated world: the
vessel's heat paths, the yeast's kinetics (see [the fermentation model](fermentation-model.md)), the instruments with
their noise, lag and gaps, the appliances, the weather of the room, and you, who sleep and are away.

Run 0 is the nominal run: everything as expected. Each further run draws what is uncertain (whatever has a "±" in the
vessel and the beer file, and the yeast's spread) from a generator that starts at the seed and the run's number, so the
same seed gives the same rehearsal to the bit, on however many workers, and each run can be shown again by its number.

A rehearsal is a model, not a promise. What it can not know: infections, a wrong original gravity, a lid that leaks.`

const FROM_NOW_TEXT = `A running batch is rehearsed from now on: for its expected transitions and its calendar, and before its plan is changed.
Each run draws its vessel, its yeast and its instruments as above, lets that yeast work along the temperatures that the
beer had, and is kept or replaced by how well it agrees with the gravity that is believed now, within what the vessel
file says of that instrument. Then the engine goes on from the batch's own state. An instrument that is silent now is
taken to speak again with its next report. A batch that is held is rehearsed as if it were resumed now, and every place that
shows its forecast says so: nobody knows for how long it will be held.

In simulated batches of the example, seen a day and a half after pitching, the gravity of the next day, the next
transition and the end lay within the interval of 90 % about as often as that many runs can hold them; but the model was
true there. Of a real yeast it knows no more than its class, and the latest gravity.`

const RISKS_TEXT = `A run suffers a harm when its extent goes beyond what counts. Risks are ordered by the share of runs that suffer them
times how bad the median of those is, from 0 (a nuisance) to 1 (the batch is lost).`

const DRILLS_TEXT = `A drill is the nominal run with one fault put into it, in the middle of the first stage unless the fault belongs
elsewhere. A fault that stays until somebody mends it is mended when you come after the first call for you: a question
that the plan did not mean to ask, or an alarm. If nobody is called, it stays.

- **passed**: the plan came to its end by itself, within its limits.
- **needed the brewer**: you were called, and the limits were kept.
- **failed**: a limit was broken, the beer froze or was chilled unfinished without a question, or the plan never ended.
- **not applicable**: the vessel has nothing that could fail like this.

A relay that has welded shut is the fault that no software ends: with the heater welded on, what the drill shows is how
long there is to act. Fit an independent over-temperature cut-out that needs no software; let whoever is licensed for it where
you live wire the mains.`

/** What a rehearsal does, with its risks and drills from the tables by which they are measured. */
export function rehearsalPage(root: string): string {
  const risks = RISKS.map(
    ({ code, message, counts, unit }) => `| \`${code}\` | ${message} | more than ${counts} ${unit} |`,
  )
  const drills = exampleDrills(root).map(({ name, title }) => `| \`${name}\` | ${title} |`)
  return [
    '# Rehearsals',
    INTRODUCTION,
    '## From now on',
    FROM_NOW_TEXT,
    '## Risks',
    RISKS_TEXT,
    ['| code | what happens | counts from |', '| --- | --- | --- |', ...risks].join('\n'),
    '## Drills',
    DRILLS_TEXT,
    ['| name | fault |', '| --- | --- |', ...drills].join('\n'),
  ]
    .join('\n\n')
    .concat('\n')
}

function exampleDrills(root: string) {
  const text = (name: string) => readFileSync(join(root, 'examples', name), 'utf8')
  const plan = readPlan(text('amber-ale.plan.yaml'), 'plan').plan!
  const vessel = readVessel(text('garage-fridge.vessel.yaml'), 'vessel').vessel!
  const beer = readBeer(text('amber-ale.beer.yaml'), 'beer').beer!
  return drillsFor(prepare(plan, vessel, beer, { seed: 1 }))
}
