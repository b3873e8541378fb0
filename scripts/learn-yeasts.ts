/**
 * `node scripts/learn-yeasts.ts`: fits each recorded fermentation of test/published/data/recorded with nothing known of its
 * yeast, and writes what was found into packages/core/src/beer-reading/learned-batches.ts: the records that a prior is
 * pooled from. `--check` only compares, to see that the file is what the records give.
 */
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fitBatch } from '@attemper/core/beer-reading/fit-batch.ts'
import { writeLearned } from '@attemper/core/beer-reading/learned.ts'
import { PROJECT_FOLDERS } from '../bench/skill/project-folders.ts'
import { readRecords } from '../bench/skill/read-records.ts'
import { wholeBatch } from '../packages/cli/src/readings/recorded-batch.ts'

const FILE = join(import.meta.dirname, '../packages/core/src/beer-reading/learned-batches.ts')
/** Curves for each record, and the seed: the same file comes out each time. */
const MEMBERS = 2000
const SEED = 1
const FEWEST = 3

const { batches } = readRecords(PROJECT_FOLDERS)
const lines = batches
  .filter(batch => batch.gravity.length >= FEWEST)
  .map(batch => writeLearned(fitBatch(wholeBatch(batch), MEMBERS, SEED)))
const text = `/**
 * Made by scripts/learn-yeasts.ts from the records in test/published/data/recorded; do not edit. For each batch: name, yeast and
 * wort, print of the record; mean, then lower triangle of the covariance, of logit attenuation, ln half-time, ln ramp, logit
 * lag, ln shortage, warmth (see curve.ts).
 */
export const LEARNED_BATCHES = \`
${lines.join('\n')}
\`
`
if (process.argv.includes('--check')) {
  if (readFileSync(FILE, 'utf8') !== text) {
    console.error('The records give something else: run node scripts/learn-yeasts.ts')
    process.exitCode = 1
  }
} else writeFileSync(FILE, text)
