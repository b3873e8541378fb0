import { describe, expect, it } from 'vitest'
import { CellarError } from './cellar.ts'
import {
  AMBER,
  AMBER_ALE,
  AMBER_BEER,
  FRIDGE,
  SmallCellar,
  START_S,
  smallCellar,
  VESSEL,
} from './testing/small-cellar.ts'

async function running() {
  const house = smallCellar()
  house.addVessel()
  await house.hearTwice({ 'Probe.beer': 18, 'Float.gravity': 1.05 })
  return { house, batch: house.start() }
}

/** Code and message of what an action throws. */
function refusalOf(act: () => void): { code: string; message: string } {
  try {
    act()
  } catch (error) {
    if (error instanceof CellarError) return { code: error.code, message: error.message }
    throw error
  }
  throw new Error('nothing was refused')
}

describe('a start', () => {
  it('is refused with the errors of the proof-reader, and goes through with a reason that is kept', () => {
    const house = smallCellar()
    house.addVessel()
    const planText = AMBER_ALE.replace('hold: 18 °C', 'hold: 30 °C')
    const refused = house.cellar.startBatch({ ...AMBER, planText }, 'Test')
    expect(refused.batch).toBeNull()
    expect(refused.findings.map(({ severity }) => severity)).toContain('error')
    expect(house.store.batches()).toEqual([])

    const { batch } = house.cellar.startBatch({ ...AMBER, planText, overrule: 'A trial with water' }, 'Test')
    const [entry] = house.store.journal(batch!)
    expect(entry).toMatchObject({ kind: 'overruled', reason: 'A trial with water', by: 'Test' })
    expect(entry?.kind === 'overruled' && entry.findings.join()).toContain('30')
  })

  it('can not overrule a text that can not be read', () => {
    const house = smallCellar()
    house.addVessel()
    const answer = house.cellar.startBatch({ ...AMBER, planText: 'plan: [', overrule: 'Please' }, 'Test')
    expect(answer.batch).toBeNull()
  })

  it('warns when the nominal rehearsal does serious harm', () => {
    const house = smallCellar()
    house.addVessel()
    const hasty = AMBER_ALE.replace(
      'until: { gravity: { above final: 10 points } }',
      'until: { stage lasted: 1 d }',
    )
      .replace('at most: 10 d', 'at most: 2 d')
      .replace(/all:\n[\s\S]*?- stage lasted: 3 d/, 'stage lasted: 1 h')
    const { findings } = house.cellar.startBatch({ ...AMBER, planText: hasty, overrule: 'A test' }, 'Test')
    const codes = findings.map(({ code }) => code)
    expect(codes).toContain('rehearsal-chilled-early')
    expect(findings.find(({ code }) => code === 'rehearsal-chilled-early')).toMatchObject({
      severity: 'warning',
      file: 'plan',
      message: expect.stringContaining('in Crash'),
    })
  })

  it('needs a known vessel that is free, and gives readable names', async () => {
    const { house, batch } = await running()
    expect(batch).toBe('2026-12-04-amber-ale-of-the-first-frost')
    expect(refusalOf(() => house.start()).code).toBe('vessel-busy')
    expect(refusalOf(() => house.addVessel()).code).toBe('vessel-busy')
    expect(refusalOf(() => house.cellar.removeVessel(VESSEL, 'Test')).code).toBe('vessel-busy')
    expect(refusalOf(() => house.start({ ...AMBER, vessel: 'Tun' }))).toEqual({
      code: 'unknown-vessel',
      message: 'There is no vessel “Tun”; there are: Garage fridge.',
    })
    house.cellar.abort(batch, 'Test')
    expect(house.start()).toBe('2026-12-04-amber-ale-of-the-first-frost-2')
  })
})

describe('the brewer', () => {
  it('holds, takes up again, moves on, and stops; each with a name in the journal', async () => {
    const { house, batch } = await running()
    house.cellar.hold(batch, 'Ann')
    expect(house.cellar.view(batch).sentence).toContain('held in Primary')
    expect(refusalOf(() => house.cellar.hold(batch, 'Ann')).code).toBe('not-running')
    house.cellar.resume(batch, 'Ann')
    expect(refusalOf(() => house.cellar.goTo(batch, 'Lagering', 'Ann'))).toEqual({
      code: 'unknown-stage',
      message: 'The plan has no stage “Lagering”; there are: Primary, Warm finish, Crash.',
    })
    house.cellar.goTo(batch, 'Crash', 'Bob')
    expect(house.cellar.view(batch).stage).toBe('Crash')
    house.cellar.stop(batch, 'Bob')
    expect(house.store.batch(batch)?.ended_ms).toBe(START_S * 1000)
    expect(house.cellar.view(batch).sentence).toContain(
      'was stopped by Bob in Crash on 4 December 2026 at 18:00',
    )
    expect(refusalOf(() => house.cellar.hold(batch, 'Ann')).code).toBe('not-running')
    const edits = house.store
      .journal(batch)
      .flatMap(each => (each.kind === 'edit' ? [[each.edit.kind, each.by]] : []))
    expect(edits).toEqual([
      ['start', 'Test'],
      ['hold', 'Ann'],
      ['resume', 'Ann'],
      ['go to', 'Bob'],
      ['stop', 'Bob'],
    ])
    await new Promise(setImmediate)
    expect(house.door().isClosed).toBe(true)
  })

  it('answers an open question, and no other', async () => {
    const { house, batch } = await running()
    await house.keepHearing(1, { 'Probe.beer': 18 })
    house.time.moveTo((START_S + 15 * 3600) * 1000)
    await house.hear({ 'Probe.beer': 18 })
    const [question] = house.cellar.view(batch).questions
    expect(question?.about).toBe('unknown')
    expect(house.cellar.view(batch).sentence).toMatch(
      /Question 1 to the brewer: nobody can tell whether Primary is ready/,
    )
    expect(refusalOf(() => house.cellar.answer(batch, 9, 'yes', 'Ann')).message).toContain('Open is 1.')
    house.cellar.answer(batch, question!.id, 'yes', 'Ann')
    expect(house.cellar.view(batch).stage).toBe('Warm finish')
    expect(house.kinds(batch)).toContain('answer')
  })

  it('changes the plan within the same stage: the time in it goes on; what fits nowhere is refused', async () => {
    const { house, batch } = await running()
    house.time.moveTo((START_S + 15 * 3600) * 1000)
    expect(house.cellar.view(batch).questions).toHaveLength(1)
    const changed = AMBER_ALE.replace('hold: 18 °C', 'hold: 17 °C')
    house.cellar.changePlan(batch, changed, 'Ann')
    const { state, target_C, questions } = house.cellar.view(batch)
    expect(target_C).toBe(17)
    expect(state.stageSince_s).toBe(START_S)
    // The question about the old plan's condition is withdrawn; the new plan will ask for itself.
    expect(questions).toEqual([])
    expect(house.store.batch(batch)?.planText).toBe(changed)
    expect(house.kinds(batch).slice(-2)).toEqual(['plan changed', 'decision: answered'])

    const without = refusalOf(() => house.cellar.changePlan(batch, changed.replace('Primary', 'Main'), 'Ann'))
    expect(without.code).toBe('unknown-stage')
    expect(without.message).toContain('it has: Main, Warm finish, Crash')
    const wrong = refusalOf(() => house.cellar.changePlan(batch, changed.replace('17 °C', '30 °C'), 'Ann'))
    expect(wrong.code).toBe('has-errors')
    expect(house.cellar.view(batch).target_C).toBe(17)
  })

  it('is told why an appliance is on or off, now and in the past', async () => {
    const { house, batch } = await running()
    const { cellar } = house
    expect(cellar.why(batch, 'cooler')).toBe('Cooler off: nothing asks for it while the target is 18.0 °C.')
    await house.keepHearing(10, { 'Probe.beer': 18.4 })
    expect(cellar.why(batch, 'cooler')).toBe(
      'Cooler on: the beer is at 18.4 °C, 0.4 °C above its target. This was decided on 4 December 2026 at 18:05. ' +
        'Unless it is renewed, the command lapses on 4 December 2026 at 18:20.',
    )
    expect(cellar.view(batch).cooler).toMatchObject({
      on: true,
      why: cellar.why(batch, 'cooler'),
      link: { state: 'confirmed' },
    })
    expect(cellar.why(batch, 'cooler', (START_S + 120) * 1000)).toBe(
      'Decided on 4 December 2026 at 18:01, and so it stood then: Cooler wanted, but held back for 4 min: it has to rest after its last run.',
    )
    expect(cellar.why(batch, 'cooler', START_S * 1000 - 1)).toContain('had not been started')
    cellar.stop(batch, 'Test')
    expect(cellar.why(batch, 'cooler')).toMatch(
      /^Cooler off since the batch ended on 4 December 2026 at \d\d:\d\d\.$/,
    )
  })

  it('is told of each change until they stop listening, and a listener that fails harms nobody', async () => {
    const { house, batch } = await running()
    // Its appliances confirm what they were told.
    await new Promise(resolve => setImmediate(resolve))
    const heard: string[] = []
    house.cellar.onChange(() => {
      throw new Error('no connection')
    })
    const off = house.cellar.onChange(each => heard.push(each))
    house.cellar.note(batch, 'Smells of pears', 'Ann')
    await house.hear({ 'Air probe.air': 15 })
    expect(heard).toEqual([batch, batch])
    expect(new Set(house.troubles)).toEqual(new Set(['listener failed']))
    off()
    house.cellar.hold(batch, 'Ann')
    expect(heard).toHaveLength(2)
    expect(house.cellar.log(batch, 0, 100).find(({ kind }) => kind === 'note')).toMatchObject({
      text: 'Smells of pears',
      by: 'Ann',
    })
  })
})

describe('two batches', () => {
  it('do not disturb each other', async () => {
    const house = smallCellar()
    house.addVessel()
    house.addVessel(FRIDGE.replace('vessel: Garage fridge', 'vessel: Other fridge'))
    const alone = smallCellar()
    alone.addVessel()
    const one = house.start()
    const two = house.start({ ...AMBER, vessel: 'Other fridge' })
    const same = alone.start()
    for (let minute = 0; minute < 30; minute++) {
      const beer_C = 18 + minute * 0.05
      await house.keepHearing(1, { 'Probe.beer': beer_C })
      await house.hear({ 'Probe.beer': 40 - minute }, 'Other fridge')
      await alone.keepHearing(1, { 'Probe.beer': beer_C })
    }
    house.cellar.abort(two, 'Test')
    expect(house.cellar.view(one).state).toEqual(alone.cellar.view(same).state)
    expect(house.store.journal(one)).toEqual(alone.store.journal(same))
    expect(house.door().commands).toEqual(alone.door().commands)
  })
})

describe('the original gravity', () => {
  const byFloat = { ...AMBER, beerText: `${AMBER_BEER}\noriginal gravity from: float\n` }

  it('is taken from the float once it is shown to be in the wort, and stands in the journal as its edit', async () => {
    const house = smallCellar()
    house.addVessel()
    const wort = { 'Probe.beer': 18, 'Float.gravity': 1.053, 'Float.beer': 18.3 }
    // Hours of readings from before pitching prove nothing about this batch.
    await house.keepHearing(300, wort)
    const batch = house.start(byFloat)
    await house.keepHearing(60, wort)
    expect(house.kinds(batch)).not.toContain('decision: original gravity')
    await house.keepHearing(60, wort)
    const entries = house.store.journal(batch)
    const at = entries.findIndex(
      ({ kind, ...rest }) => kind === 'edit' && 'by' in rest && rest.by === 'the float',
    )
    expect(entries[at]).toMatchObject({ edit: { kind: 'original gravity', gravity: 1.053 } })
    expect(entries[at + 1]).toMatchObject({
      kind: 'decision',
      event: { kind: 'original gravity', gravity: 1.053, before: 1.05, from: 'float', instrument: 'Float' },
    })
    expect(house.cellar.view(batch).state.originalGravity).toBe(1.053)
  })

  it('entered by hand stands above it, over a restart too', async () => {
    const { house, batch } = await running()
    house.cellar.originalGravity(batch, 1.052, 'Ada')
    const refused = refusalOf(() => house.cellar.originalGravity(batch, 1.004, 'Ada'))
    expect(refused.code).toBe('wrong-value')
    expect(refused.message).toContain('1.012')
    await house.cellar.close()
    const again = new SmallCellar(house.store, house.time)
    expect(again.cellar.view(batch).state.originalGravity).toBe(1.052)
    again.cellar.stop(batch, 'Ada')
    expect(refusalOf(() => again.cellar.originalGravity(batch, 1.052, 'Ada')).code).toBe('not-running')
  })
})
