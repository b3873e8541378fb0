import { existsSync } from 'node:fs'
import { join } from 'node:path'
import fastifyStatic from '@fastify/static'
import type { FastifyReply } from 'fastify'
import type { HttpApp } from '../http-app.ts'

/**
 * What a page of the cellar may load: its own files. Styles within elements are allowed, since charts place themselves by
 * them; a script never is, unless it came as a file from here. A worker may be put together by a script of our own.
 */
export const CONTENT_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "worker-src 'self' blob:",
  "manifest-src 'self'",
  "form-action 'self'",
  "base-uri 'none'",
  "frame-ancestors 'none'",
].join('; ')

/** These carry a hash of their contents in their names. */
const HASHED = /[\\/]assets[\\/][^\\/]+-[\w-]{8,}\.\w+(?:\.(?:br|gz))?$/

const YEAR_s = 31_536_000

/**
 * The screens, as files of one folder: anybody may have them, the data behind them is asked for at the other routes. The
 * folder is looked at with each request, so that screens which are built later are found.
 */
export function screenRoutes(app: HttpApp, folder: string | undefined): void {
  if (folder !== undefined) {
    app.register(fastifyStatic, {
      root: folder,
      // `/` is below, and has to answer without the folder too.
      index: false,
      dotfiles: 'ignore',
      preCompressed: true,
      cacheControl: false,
      suppressWarning: true,
      setHeaders: (reply, path) => addHeaders(reply, HASHED.test(path)),
    })
  }
  app.get('/', { schema: { hide: true } }, (_, reply) => {
    if (folder !== undefined && existsSync(join(folder, 'index.html'))) return reply.sendFile('index.html')
    addHeaders(reply, false)
    return reply.code(503).type('text/html; charset=utf-8').send(NOT_BUILT)
  })
}

function addHeaders(reply: FastifyReply, isHashed: boolean): void {
  reply
    .header('cache-control', isHashed ? `public, max-age=${YEAR_s}, immutable` : 'no-cache')
    .header('content-security-policy', CONTENT_POLICY)
    .header('referrer-policy', 'no-referrer')
}

const NOT_BUILT = `<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>Attemper: no screens yet</title>
<style>body { font: 1.1rem/1.5 system-ui, sans-serif; max-width: 40rem; margin: 4rem auto; padding: 0 1rem }</style>
<h1>The screens have not been built</h1>
<p>The cellar runs, and looks after its batches. To see it here, build the screens in the folder of the project, and load
this page again:</p>
<pre>npm run build</pre>
<p>In a terminal it is all there without them: <code>npx attemper cellar</code>, <code>npx attemper watch</code>.</p>
</html>
`
