import fc from 'fast-check'

/*
 * Property tests draw the same cases on every machine, so that a change is judged by what it changes. To look for new
 * cases, give another seed: FUZZ_SEED=7 npm run test:unit.
 */
const USUAL_SEED = 20_261_125

fc.configureGlobal({ seed: Number(process.env.FUZZ_SEED ?? USUAL_SEED) })
