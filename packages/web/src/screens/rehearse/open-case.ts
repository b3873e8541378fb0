/** What is rehearsed at an address: `#/rehearse/draft/NAME`, `…/example/NAME`, `…/batch/ID`, `…/vessel/NAME`. */
import * as api from '../../api/cellar-api.ts'
import { Trouble } from '../../api/request.ts'
import type { CaseTexts } from '../../rehearsing/case.svelte.ts'
import { examples, exampleTexts } from '../../rehearsing/examples.ts'
import { drafts } from '../../state/drafts.svelte.ts'

export interface Opened {
  readonly texts: CaseTexts
  /** The draft to which changes are written; null: the first change begins one. */
  readonly draft: string | null
  /** Where it comes from, as a sentence; null: nothing needs to be said. */
  readonly origin: string | null
}

const FIRST = examples[0]!.name

/** A text instead of what was asked for says why it is not there. */
export async function openCase(parts: readonly string[]): Promise<Opened | string> {
  const [kind, name = ''] = parts
  switch (kind) {
    case undefined: {
      const latest = drafts.all[0]
      return latest === undefined ? openExample(FIRST) : openDraft(latest.name)
    }
    case 'draft':
      return openDraft(name)
    case 'example':
      return openExample(name)
    case 'batch':
      return troubleToText(() => openBatch(name))
    case 'vessel':
      return troubleToText(() => openVessel(name))
    default:
      return `There is nothing to rehearse at “${parts.join('/')}”.`
  }
}

function openDraft(name: string): Opened | string {
  const draft = drafts.get(name)
  if (draft === null) return `This browser keeps no draft called “${name}”.`
  return { texts: draft.texts, draft: name, origin: null }
}

async function openExample(name: string): Promise<Opened | string> {
  const texts = await exampleTexts(name)
  if (texts === null) return `There is no example called “${name}”.`
  return { texts, draft: null, origin: 'An example. What you change is kept as a draft of your own.' }
}

async function openBatch(id: string): Promise<Opened> {
  const { batch } = await api.view(id)
  return {
    texts: { plan: batch.planText, vessel: batch.vesselText, beer: batch.beerText },
    draft: null,
    origin: `The plan, the vessel and the beer of ${batch.name} in ${batch.vessel}, from its start. The batch itself is not changed from here.`,
  }
}

async function openVessel(name: string): Promise<Opened | string> {
  const vessel = (await api.vessels()).find(each => each.name === name)
  if (vessel === undefined) return `There is no vessel called “${name}” in the cellar.`
  const example = await exampleTexts(FIRST)
  return {
    texts: { ...example!, vessel: vessel.text },
    draft: null,
    origin: `An example of a plan and a beer in ${name}. What you change is kept as a draft of your own.`,
  }
}

async function troubleToText<Answer>(open: () => Promise<Answer>): Promise<Answer | string> {
  try {
    return await open()
  } catch (error) {
    if (error instanceof Trouble) return error.sentence
    throw error
  }
}
