/** The page as markup, before any browser: built to a module that whoever writes pages imports. */
import { render } from 'svelte/server'
import { type PageContents, pageContentsJson } from './page-contents.ts'
import type { RenderPage } from './page-input.ts'
import RehearsalPage from './rehearsal-page.svelte'

export const renderPage: RenderPage = input => {
  const data = pageContentsJson(input)
  // What the browser will read, so that it finds the same markup.
  const contents = JSON.parse(data) as PageContents
  const { body } = render(RehearsalPage, { props: { contents } })
  return { title: `${contents.result.plan}, rehearsed`, body, data }
}
