"""Samples of the set-up's pages, with the longest texts that they carry."""

from __future__ import annotations

from screen_samples import FINE, FRAME, NONE, mark

from kiosk.presenters import parts as p
from kiosk.presenters import states as s

PAGE_FIRST_RUN = s.PageState(
    FRAME, "A new yard", "Touch a line to change it. Nothing is on record before the yard is made.", (
        p.PageRow("yard", "Yard", ("Werkhof Sankt-Katharinen-Hafen",), NONE, "What is the yard called?"),
        p.PageRow("supervisor", "First supervisor", ("nothing yet", "gets a badge, and chooses a PIN"), NONE, "Who?"),
        p.PageRow("kiosk", "This kiosk's number", ("“113”", "A kiosk's number is 0 to 99, not 113."),
                  mark("not taken", p.BAD), "Number of this kiosk, 0 to 99?", begins="113"),
        p.PageRow("zone", "Time zone", ("America / Argentina / ComodRivadavia",), NONE),
        p.PageRow("units", "Lengths", ("inches with fractions",), NONE),
        p.PageRow("page", "Paper", ("Letter",), NONE),
        p.PageRow("language", "Language", ("Español",), NONE),
        p.PageRow("make", "Make the yard", ("needs the yard's and the supervisor's name",), NONE, enabled=False),
    ), "", None)
PAGE_SET_UP = s.PageState(
    FRAME, "Set up the yard", "The yard is named Werkhof Sankt-Katharinen-Hafen.", (
        p.PageRow("units", "Units", ("60 units", "Add one from a template, print its labels"), NONE),
        p.PageRow("crew", "Crew and badges", ("24 people", "Add somebody, print a badge"), NONE),
        p.PageRow("sheets", "Service sheets", ("Limits, intervals, cautions, steps",), NONE),
        p.PageRow("exchange", "Take out, bring in", ("All of it as tables and sheets, on a stick",), NONE),
        p.PageRow("name", "The yard's name", ("Werkhof Sankt-Katharinen-Hafen",), NONE, "What is the yard called?"),
    ), "", None)
PAGE_SHEET = s.PageState(
    FRAME, "Shaft bearing", "", (
        p.PageRow("preview", "Look at the form", ("As the mechanic will see it",), NONE),
        p.PageRow("adopt", "Put revision 4 into force", (
            "Say where the new limit of 'reading shaft-play' comes from: its source.",), mark("not taken", p.BAD)),
        p.PageRow("title", "Title", ("Shaft bearing",), NONE, "Title?", begins="Shaft bearing"),
        p.PageRow("source", "Source", ("yard instruction B-1, revision 3",), NONE, "Source?"),
        p.PageRow("caution/0", "Caution: A shaft, chain or belt that starts tears off the hand that is in it.",
                  ("DANGER",), NONE),
        p.PageRow("reading/1", "Reading: Play of the shaft", ("Upper limit, mm 0.5",), NONE),
        p.PageRow("job/0", "Job: Grease", ("grease",), NONE),
        p.PageRow("forget", "Throw the changes away", (), NONE),
    ), "", None)
PAGE_INTAKE = s.PageState(
    FRAME, "Bring in a prepared set-up", "164 lines would change something, 2 lines say what is on record already.", (
        p.PageRow("in", "Bring all of it in", ("All of it, or nothing",), FINE),
        p.PageRow("more", "More lines", ("1 to 40 of 164",), NONE),
        p.PageRow("line 0", "add Marieke Oosterbaan-Wieczorkowska, supervisor", ("people.csv, line 2",), NONE,
                  enabled=False),
        p.PageRow("line 1", "change Anselm Oduya-Brandt: role mechanic → lead", ("people.csv, line 3",), NONE,
                  enabled=False),
        p.PageRow("line 2", "add Upper shaft bearing, left to Unit 07 Kittiwake", ("positions.csv, line 118",), NONE,
                  enabled=False),
    ), "", None)

SAMPLES: dict[str, s.State] = {
    "page_first_run": PAGE_FIRST_RUN,
    "page_set_up": PAGE_SET_UP,
    "page_sheet": PAGE_SHEET,
    "page_intake": PAGE_INTAKE,
}
