"""Who sits before the job: signing on, and the wrong PINs that were given."""

from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.events.hands_kinds import PinRefused, SignedOn
from baycompanion.job.hands_actions import RefusePin, SignOn


def sign_on(draft: Draft, action: SignOn) -> None:
    """Put down that the technician of the job sits before it."""
    technician = draft.state.technician
    if action.sign_on != draft.who.id:
        refuse(f"{draft.who.id} cannot sign on as {action.sign_on}.")
    if draft.who.id != technician:
        refuse(
            f"This job is in the hands of {technician}, not {draft.who.id}.",
            f"{technician} hands it over, or a supervisor takes it over.",
        )
    draft.say(SignedOn(role=draft.who.role, signed=draft.who.signed))


def refuse_pin(draft: Draft, action: RefusePin) -> None:
    """Put down that a wrong PIN was given for somebody."""
    draft.say(PinRefused(who=action.refuse_pin, tries=action.tries))
