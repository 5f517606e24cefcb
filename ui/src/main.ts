/** Opens the window. */
import { mount } from 'svelte'
import './look/fonts.css'
import './look/tokens.css'
import './look/base.css'
import App from './App.svelte'

mount(App, { target: document.getElementById('app') as HTMLElement })
