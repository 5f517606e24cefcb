/** Whether the sheet that asks who is here lies open. In a file of its own, because any action can need it. */
class WhoIsHere {
  open = $state(false)

  ask(): void {
    this.open = true
  }
}

export const who = new WhoIsHere()
