import { FALSE, TRUE } from '../engine/kleene.ts'
import { formatTemperature } from '../units/format.ts'
import { listChannels } from '../vessel/channels.ts'
import { checkCalibrations } from './calibrations.ts'
import type { Check, ReadinessCase, StorageProblem } from './check.ts'
import { floatBounds } from './float-bounds.ts'
import { judgeFloat } from './float-in-wort.ts'
import { beerThermometers, checkAgreement, checkBeerProbe, checkInstruments, freshValue } from './hearing.ts'
import { sayFloat } from './say-float.ts'

/**
 * What must be true before a batch is started in a vessel, in the order in which one would go round and look. What does not
 * concern the vessel (a float that it does not have) is left out. Pure: the caller hands in what was heard lately.
 */
export function checkVessel(given: ReadinessCase): readonly Check[] {
  const checks = [
    checkFree(given),
    checkBeerProbe(given),
    checkInstruments(given),
    checkAgreement(given),
    checkPitching(given),
    checkFloat(given),
    checkCalibrations(given),
    checkAppliances(given),
    checkRecords(given),
  ]
  return checks.filter(check => check !== null)
}

/** Nothing is missing that somebody could still do. */
export function isReady(checks: readonly Check[]): boolean {
  return checks.every(({ state }) => state !== 'not yet')
}

/** All checks in one sentence that could be read out over the telephone. */
export function sayReadiness(vessel: string, checks: readonly Check[]): string {
  const missing = checks.filter(({ state }) => state === 'not yet')
  if (missing.length > 0) return `${vessel} is not ready yet. ${missing.map(each => each.sentence).join(' ')}`
  const warned = checks.filter(({ state }) => state === 'warning')
  if (warned.length > 0) return `${vessel} is ready, but: ${warned.map(each => each.sentence).join(' ')}`
  const open = checks.filter(({ state }) => state === 'unknown')
  if (open.length > 0) {
    return `${vessel} is ready as far as can be told. ${open.map(each => each.sentence).join(' ')}`
  }
  return `${vessel} is ready.`
}

function checkFree({ batch }: ReadinessCase): Check {
  const code = 'vessel-free'
  const title = 'The vessel is free'
  return batch === null
    ? { code, title, state: 'ok', sentence: 'No batch is in it.' }
    : { code, title, state: 'not yet', sentence: `${batch} is in it: stop that first.` }
}

/** A wort that is too hot kills the yeast, and one that is too cold lets it wait. */
function checkPitching(given: ReadinessCase): Check | null {
  const yeast = given.beer?.yeast
  if (yeast === undefined) return null
  const code = 'pitching-temperature'
  const title = 'The wort is as warm as the yeast likes it'
  const value = beerThermometers(given)
    .map(probe => freshValue(given, probe))
    .find(each => each !== null)
  if (value === undefined || value === null) {
    return { code, title, state: 'unknown', sentence: 'Nobody knows how warm the wort is.' }
  }
  const [now, lowest, highest] = [value, yeast.comfort_C.lowest, yeast.comfort_C.highest].map(each =>
    formatTemperature(each, given.units),
  )
  const range = `${yeast.name} works well from ${lowest} to ${highest}`
  return value >= yeast.comfort_C.lowest && value <= yeast.comfort_C.highest
    ? { code, title, state: 'ok', sentence: `It is at ${now}; ${range}.` }
    : { code, title, state: 'warning', sentence: `It is at ${now}, but ${range}.` }
}

function checkFloat(given: ReadinessCase): Check | null {
  const bounds = floatBounds(given.vessel, given.beer)
  if (bounds === null) return null
  const channels = listChannels(given.vessel)
  const fresh = (number: number) => {
    const channel = channels[number]
    return channel === undefined ? null : freshValue(given, channel)
  }
  const readings = {
    float_C: fresh(bounds.temperatureChannel),
    beer_C: fresh(bounds.probeChannel),
    gravities: fresh(bounds.gravityChannel) === null ? [] : given.gravities,
  }
  const judgement = judgeFloat(readings, bounds)
  const state = judgement.inWort === TRUE ? 'ok' : judgement.inWort === FALSE ? 'not yet' : 'unknown'
  const sentence = sayFloat(judgement, readings, bounds, given.units)
  return { code: 'float-in-wort', title: 'The float is in the wort', state, sentence }
}

function checkAppliances({ appliances }: ReadinessCase): Check | null {
  if (appliances.length === 0) return null
  const code = 'appliances-reachable'
  const title = 'The appliances can be reached'
  const lost = appliances.filter(({ reach }) => reach === 'does not answer')
  if (lost.length > 0) {
    const sentence = lost.map(each => `The ${each.appliance}: ${each.problem}.`).join(' ')
    return { code, title, state: 'warning', sentence }
  }
  const open = appliances
    .filter(({ reach }) => reach === 'unknown')
    .map(({ appliance }) => `the ${appliance}`)
  if (open.length === 0) return { code, title, state: 'ok', sentence: 'All of them listen.' }
  const sentence = `Whether ${open.join(' and ')} can be reached shows when the batch begins.`
  return { code, title, state: 'unknown', sentence }
}

function checkRecords({ storageProblem }: ReadinessCase): Check {
  const code = 'records-kept'
  const title = 'Readings and decisions can be stored'
  return storageProblem === null
    ? { code, title, state: 'ok', sentence: 'Nothing is known to be in the way.' }
    : { code, title, state: 'warning', sentence: sayStorageProblem(storageProblem) }
}

function sayStorageProblem(problem: StorageProblem): string {
  switch (problem.kind) {
    case 'failing':
      return 'Records can not be written.'
    case 'little room':
      return `Only ${problem.free_MB} MB are free on the disk of the records.`
    case 'disk not seen':
      return `The disk with the folder ${problem.folder} can not be looked at.`
  }
}
