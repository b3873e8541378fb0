/** Looks up the look's variables where a picture stands, so that it follows light, dark and paper. */
export type Palette = (name: `--${string}`) => string

export function paletteOf(host: HTMLElement): Palette {
  return name => getComputedStyle(host).getPropertyValue(name).trim()
}

/** Calls after each change between light, dark and paper; returns how to stop it. */
export function onLookChange(call: () => void): () => void {
  const queries = ['(prefers-color-scheme: dark)', 'print'].map(query => matchMedia(query))
  for (const query of queries) query.addEventListener('change', call)
  const observer = new MutationObserver(call)
  observer.observe(document.documentElement, { attributeFilter: ['data-appearance'] })
  return () => {
    for (const query of queries) query.removeEventListener('change', call)
    observer.disconnect()
  }
}
