import { mount } from 'svelte'
import Frame from './frame.svelte'
import './look/look.css'

mount(Frame, { target: document.getElementById('screens')! })

// Only where the browser allows it: on this machine itself, or over TLS.
if (import.meta.env.PROD && 'serviceWorker' in navigator) {
  void navigator.serviceWorker.register('./service-worker.js')
}
