import type { PageInput } from '@attemper/web/rehearsal-page/page-input.ts'
import type { BuiltPage } from './built-page.ts'
import { escapeHtml, escapeJson, escapeScript } from './escape.ts'

/** A rehearsal as one page that holds everything it needs: no network, no other file. */
export function rehearsalPage(input: PageInput, built: BuiltPage): string {
  const { title, body, data } = built.render(input)
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:">
<title>${escapeHtml(title)}</title>
<style>${built.style}</style>
</head>
<body>
<div id="page">${body}</div>
<details id="licences">
<summary>Licences of the works that this page contains</summary>
<pre>${escapeHtml(built.licences)}</pre>
</details>
<script type="application/json" id="data">${escapeJson(data)}</script>
<script>${escapeScript(built.script)}</script>
</body>
</html>
`
}
