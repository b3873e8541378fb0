import { mount } from 'svelte'
import Frame from './frame.svelte'
import './look/look.css'

mount(Frame, { target: document.getElementById('screens')! })
