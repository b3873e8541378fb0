import type { SentenceContext } from './context.ts'

/** What is heated and cooled, as the subject of a sentence. */
export function subjectOf(context: SentenceContext): string {
  return context.plan.side === 'hot side' ? 'the kettle' : 'the beer'
}

/** "gravity", "beer temperature": a quantity without its article. */
export function quantityName(quantity: string, context: SentenceContext): string {
  if (quantity === 'beer') return context.plan.side === 'hot side' ? 'kettle temperature' : 'beer temperature'
  if (quantity === 'air') return 'air temperature'
  return quantity
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
