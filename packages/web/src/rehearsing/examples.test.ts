import { readBeer } from '@attemper/core/beer/read-beer.ts'
import { readPlan } from '@attemper/core/plan/read-plan.ts'
import { proofRead } from '@attemper/core/proof/proof-read.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import { expect, test } from 'vitest'
import { examples, exampleTexts } from './examples.ts'

test.each(examples.map(({ name }) => name))('%s can be rehearsed as it is', async name => {
  const texts = (await exampleTexts(name))!
  const { plan } = readPlan(texts.plan, 'plan')
  const { vessel } = readVessel(texts.vessel, 'vessel')
  const { beer } = readBeer(texts.beer, 'beer')
  const findings = proofRead({ plan: plan!, planFile: 'plan', vessel: vessel!, beer: beer! })
  expect(findings.filter(({ severity }) => severity === 'error')).toEqual([])
})

test('there is no example of another name', async () => {
  expect(await exampleTexts('nothing')).toBe(null)
})
