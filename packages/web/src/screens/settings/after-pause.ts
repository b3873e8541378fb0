import { Trouble } from '../../api/request.ts'

const PAUSE_ms = 250

/**
 * Does something with a text when nobody has typed for a moment; to be returned from an effect, which calls it off. That
 * the cellar does not answer is said elsewhere on the page.
 */
export function afterPause<Text>(text: Text, act: (text: Text) => Promise<void>): () => void {
  const timer = setTimeout(async () => {
    try {
      await act(text)
    } catch (error) {
      if (!(error instanceof Trouble)) throw error
    }
  }, PAUSE_ms)
  return () => clearTimeout(timer)
}
