/** Brings the page to life in a browser: it takes over the markup that it finds, and draws the charts. */
import { hydrate } from 'svelte'
import '../look/look.css'
import type { PageContents } from './page-contents.ts'
import RehearsalPage from './rehearsal-page.svelte'

const contents = JSON.parse(document.getElementById('data')!.textContent ?? '') as PageContents
hydrate(RehearsalPage, { target: document.getElementById('page')!, props: { contents } })
