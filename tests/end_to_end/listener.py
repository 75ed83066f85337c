"""A screen reader's part, run by the system's Python, which has the accessibility library.

``listener.py SECONDS [click]`` listens to the events of every program on the desk's bus, waits for Tallybar and reads
the names, roles, states and places of the whole window again and again. With ``click`` it clicks the tab "Logbook"
first, and ends when the table of trials has stood there for a while. It ends too when the program is gone or the
seconds are over. Prints a JSON object: how many ``objects`` the largest reading met, how many ``readings`` and
``events`` there were, and whether the table ``stood`` there.
"""

import json
import sys
import time
from contextlib import suppress

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, GLib  # noqa: E402

EVENTS = ("object:state-changed", "object:children-changed", "object:text-changed", "object:property-change")
EVENTS += ("object:bounds-changed", "object:visible-data-changed", "object:text-caret-moved", "window", "focus")
# How long the window is read on once the table stands there.
READ_S = 1.0
TABLE = "table"
# Of an object with more children only so many are read.
MOST = 200


class Reader:
    """Listens, and reads the window."""

    def __init__(self) -> None:
        self.events = self.readings = self.objects = 0
        self._listener = Atspi.EventListener.new(self._heard)
        for event in EVENTS:
            self._listener.register(event)

    def _heard(self, event) -> None:
        self.events += 1
        with suppress(GLib.Error):  # what it came from may be gone
            if event.source is not None:
                event.source.get_name(), event.source.get_role_name()

    def turn(self) -> None:
        """Take the events that have come."""
        context = GLib.MainContext.default()
        while context.pending():
            context.iteration(False)

    def window(self):
        """The program on the bus, once its window is there."""
        desktop = Atspi.get_desktop(0)
        for place in range(desktop.get_child_count()):
            found = desktop.get_child_at_index(place)
            if found is not None and "tallybar" in (found.get_name() or "").lower() and found.get_child_count():
                return found
        return None

    def read(self, root) -> list:
        """All objects below ``root`` with their names and roles."""
        root.clear_cache()  # else names and roles would come from the last reading
        found, coming = [], [root]
        while coming:
            each = coming.pop()
            with suppress(GLib.Error):  # the page is being made: what was there is gone
                found.append((each.get_name(), each.get_role_name(), each))
                each.get_description(), each.get_state_set().get_states()
                if "Component" in each.get_interfaces():
                    each.get_extents(Atspi.CoordType.SCREEN)
                children = [each.get_child_at_index(at) for at in range(min(each.get_child_count(), MOST))]
                coming += [child for child in children if child is not None]
            self.turn()
        self.readings += 1
        self.objects = max(self.objects, len(found))
        return found


def main(seconds: float, clicks: bool) -> None:
    """Find the program, go to its logbook, read."""
    reader, end_s, stood = Reader(), time.monotonic() + seconds, False
    try:
        window = None
        while window is None and time.monotonic() < end_s:
            reader.turn()
            window = reader.window()
            time.sleep(0.02)
        tab = None
        while window is not None and tab is None and time.monotonic() < end_s:
            here = reader.read(window)
            tab = next((each for name, role, each in here if role == "check box" and name == "Logbook"), None)
        if tab is not None:
            if clicks:
                place = tab.get_extents(Atspi.CoordType.SCREEN)
                Atspi.generate_mouse_event(place.x + place.width // 2, place.y + place.height // 2, "b1c")
            began_s = None
            while time.monotonic() < end_s:
                roles = [role for _, role, _ in reader.read(window)]
                if began_s is None and any(TABLE in role for role in roles):
                    began_s = time.monotonic()
                if clicks and began_s is not None and time.monotonic() > began_s + READ_S:
                    stood = True
                    break
    except (GLib.Error, SystemError) as error:  # the program is gone; the latter where the library sets no error
        print(error, file=sys.stderr)
    print(
        json.dumps({"objects": reader.objects, "readings": reader.readings, "events": reader.events, "stood": stood})
    )


if __name__ == "__main__":
    main(float(sys.argv[1]), "click" in sys.argv[2:])
