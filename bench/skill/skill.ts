/**
 * `npm run skill`: how well beers are read. Each recorded fermentation is shown until 25, 50 and 75 % of its fall, and the
 * forecast is compared with how it went on, beside simpler ways of guessing. `-- FOLDER...` asks about the records of other
 * folders, `--history FOLDER...` hands in earlier batches to learn from, `--json` prints figures. Without folders: all
 * records of the project, each forecast by what the others teach. `--simulated`: finished and stuck, and calibration.
 */
import { parseArgs } from 'node:util'
import { type Asked, askRecords } from './ask-records.ts'
import { HISTORIC, MODERN } from './project-folders.ts'
import { type LeftOut, readRecords } from './read-records.ts'
import { simulated } from './simulated.ts'
import { coverageTable, endedTable, flatnessTable } from './simulated-table.ts'
import { summarise, summaryTable } from './table.ts'

interface Part {
  readonly title: string
  readonly folders: readonly string[]
  readonly history: readonly string[] | null
}

const OWN: readonly Part[] = [
  { title: 'Modern pilot ales, yeast and wort never seen', folders: [MODERN], history: null },
  { title: 'Modern pilot ales, with other batches of the yeast', folders: [MODERN], history: [MODERN] },
  { title: 'Historic records, never seen', folders: [HISTORIC], history: null },
]

/** Everything behind --history until the next option is a folder of earlier batches. */
function splitHistory(words: readonly string[]) {
  const [rest, history]: [string[], string[]] = [[], []]
  let into = rest
  for (const word of words) {
    if (word === '--history') into = history
    else if (word.startsWith('--')) rest.push(word)
    else into.push(word)
  }
  return { rest, history: words.includes('--history') ? history : null }
}

const { rest, history } = splitHistory(process.argv.slice(2))
const { values, positionals } = parseArgs({
  args: rest,
  options: { json: { type: 'boolean', default: false }, simulated: { type: 'boolean', default: false } },
  allowPositionals: true,
})
if (values.simulated) await saySimulated()
else sayRecords()

async function saySimulated(): Promise<void> {
  const result = await simulated()
  if (values.json) console.log(JSON.stringify(result, null, 1))
  else {
    console.log(`\n### Finished and stuck\n\n${endedTable(result.ended)}`)
    console.log(`\n### Intervals on simulated batches\n\n${coverageTable(result.ended)}`)
    console.log(`\n### Calibration on its own terms\n\n${flatnessTable(result.calibration)}`)
  }
}

function sayRecords(): void {
  const parts: readonly Part[] =
    positionals.length > 0 ? [{ title: positionals.join(', '), folders: positionals, history }] : OWN

  const sayLeftOut = (all: readonly LeftOut[]) => all.map(({ file, why }) => `- ${file}: ${why}`).join('\n')

  const results = parts.map(part => {
    const records = readRecords(part.folders)
    const earlier = part.history && readRecords(part.history)
    const asked: Asked = askRecords(records.batches, earlier?.batches ?? null)
    const leftOut = [...records.leftOut, ...(earlier?.leftOut ?? []), ...asked.leftOut]
    const summary = summarise(asked.points)
    if (!values.json) {
      console.log(`\n### ${part.title}\n`)
      console.log(summary.length > 0 ? summaryTable(summary) : 'No record that a forecast could be made for.')
      if (leftOut.length > 0) console.log(`\nLeft out:\n${sayLeftOut(leftOut)}`)
    }
    return { title: part.title, points: asked.points, summary, left_out: leftOut }
  })
  if (values.json) {
    const [only] = results
    console.log(JSON.stringify(positionals.length > 0 ? only : { parts: results, ...only }, null, 1))
  }
  if (results.every(result => result.points.length === 0)) process.exitCode = 1
}
