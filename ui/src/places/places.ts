/** The places of the lab, in the order a device passes them, with the key that goes there. */
export interface Place {
  id: 'dock' | 'rack' | 'bench' | 'cells' | 'outbound' | 'shops' | 'setup'
  name: string
  keys: string
}

export const places: Place[] = [
  { id: 'dock', name: 'Dock', keys: 'Alt+1' },
  { id: 'rack', name: 'Rack', keys: 'Alt+2' },
  { id: 'bench', name: 'Bench', keys: 'Alt+3' },
  { id: 'cells', name: 'Cell bay', keys: 'Alt+B' },
  { id: 'outbound', name: 'Outbound', keys: 'Alt+4' },
  { id: 'shops', name: 'Shops', keys: 'Alt+5' },
  { id: 'setup', name: 'Setup', keys: 'Alt+6' },
]
