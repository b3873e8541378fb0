/**
 * Modules of the page as one script without imports, for a page that must not fetch anything. The modules import only
 * each other, by name, and come in the order in which they are needed, so that the keywords can simply be left out.
 */
export function inlineModules(sources: readonly string[]): string {
  const script = sources
    .map(source => source.replace(/^import .*$/gm, '').replace(/^export (?=function |const |class )/gm, ''))
    .join('\n')
  // A comment or a string of the script must not end the element that holds it.
  return script.replaceAll('</script', '<\\/script')
}
