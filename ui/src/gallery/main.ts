/** Opens the gallery of parts. Development only: it is not an entry of the build. */
import { mount } from 'svelte'
import '../look/fonts.css'
import '../look/tokens.css'
import '../look/base.css'
import Gallery from './Gallery.svelte'

const scheme = new URLSearchParams(location.search).get('theme')
if (scheme !== null) document.documentElement.dataset.theme = scheme
mount(Gallery, { target: document.getElementById('app') as HTMLElement })
