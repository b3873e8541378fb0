import { expect, test } from 'vitest'
import { FakeClock } from '../testing/fake-clock.ts'
import { FakeStore } from '../testing/fake-store.ts'
import { openAccess } from './access.ts'
import { SignIns } from './sign-ins.ts'

const PASSWORD = 'three hops and a spoon'

async function open() {
  const clock = new FakeClock()
  const store = new FakeStore()
  const access = openAccess(store.asStore(), clock, { host: '0.0.0.0', port: 80 })
  await access.people.put('anna', 'brewer', PASSWORD)
  const from = (address: string) => ({ door: 'HTTP', address }) as const
  return { access, clock, store, from }
}

// The incident: 120 guesses made the owner's own sign-in take 12 s, since all waited for each other.
test('120 guesses from as many addresses do not hold up the owner', async () => {
  const { access, from } = await open()
  const { signIns } = access
  const alone_ms = await timeOf(() => signIns.try('anna', PASSWORD, from('home')))
  const guesses = Array.from({ length: 120 }, (_, n) =>
    signIns.try('anna', `guess ${n}`, from(`192.0.2.${n}`)),
  )
  const among_ms = await timeOf(async () => {
    expect((await signIns.try('anna', PASSWORD, from('home'))).kind).toBe('in')
  })
  // Behind the one that was being compared already, and before all others.
  expect(among_ms).toBeLessThan(4 * alone_ms + 300)
  const answers = await Promise.all(guesses)
  const kinds = answers.map(({ kind }) => kind)
  expect(kinds).not.toContain('in')
  // One is compared and eight wait; the others were sent away at once, without having been tried.
  expect(kinds.filter(kind => kind === 'wrong').length).toBe(9)
}, 30_000)

test('what was sent away unheard counts as no try', async () => {
  const { access, from } = await open()
  const many = Array.from({ length: 5 }, (_, n) =>
    Promise.all(
      Array.from({ length: 3 }, (__, m) => access.signIns.try(`n${n}`, `guess ${m}`, from(`192.0.2.${n}`))),
    ),
  )
  const answers = (await Promise.all(many)).flat()
  const wrong = answers.filter(({ kind }) => kind === 'wrong').length
  expect(wrong).toBe(9)
  expect(answers.filter(({ kind }) => kind === 'wait')).toHaveLength(6)
  for (const answer of answers) if (answer.kind === 'wait') expect(answer.wait_s).toBe(5)
}, 30_000)

test('who guesses from many addresses fills neither the record of changes nor a line of it with commands', async () => {
  const clock = new FakeClock()
  const store = new FakeStore()
  // Seventy real comparisons would take a while.
  const signIns = new SignIns({ signIn: async () => null }, store.asStore(), clock)
  const from = (address: string) => ({ door: 'HTTP', address }) as const
  for (let n = 0; n < 70; n++) {
    await signIns.try(`\u001b[2Jx${n}`, 'guess', from(`192.0.2.${n}`))
  }
  expect(store.changes).toHaveLength(50)
  expect(store.changes[0]?.what).toBe('tried a wrong password for “\ufffd[2Jx0” from 192.0.2.0')
  clock.pass(16 * 60_000)
  await signIns.try('anna', 'guess', from('192.0.2.99'))
  expect(store.changes.map(({ what }) => what).slice(50)).toEqual([
    'tried 20 more wrong passwords, from 70 addresses',
    'tried a wrong password for “anna” from 192.0.2.99',
  ])
})

async function timeOf(work: () => Promise<unknown>): Promise<number> {
  const begin = performance.now()
  await work()
  return performance.now() - begin
}
