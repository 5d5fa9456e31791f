"""What each screen shows and does, without a window: frozen states out, actions in, helpers through Protocols.

`show(state, presenter)` is called with every new state; the app picks the screen by `type(state)` and forwards
taps to `presenter`. `Desk` is the top: it knows who is signed in, routes every scan, and owns the presenter of the
screen that is shown. No action raises an error of ours: what is refused comes back as a message on the state.

Every presenter: answer(key: str) for the buttons of a message · back() · home() · sign_out() · open_label_pad() ·
    label_key(key: str) · close_label_pad() · pin_key(key: str) · close_pin_pad()
Desk (any screen): start() · scan(scan: Scan) -> bool · foreign_text(text: str, source: ScanSource) · tick() ·
    typed(key: str) · device_changed(device: str, message: str) · touched() · home() · back() · sign_out() ·
    refuse(error: KioskError)

screen (state) → presenter → actions:

IdleState → IdlePresenter: open_unit(unit_id: str)
UnitState → UnitPresenter: show_assembly(index: int) · open_position(position_id: str) ·
    open_component(component_id: str)
ComponentState → ComponentPresenter: save_quick() · pick_quick(job: str) · more_strokes() · fewer_strokes() ·
    choose_reason(key: str) · type_reason(text: str) · open_job(job: str) · open_history() · show_figures(group: str) ·
    show_trend() · hide_trend() · open_now() ·
    open_record(record_id: str) · open_unit() · report_finding(text: str)
CautionsState → CautionsPresenter: confirm(key: str) · next_page() · previous_page() · hours_key(key: str) ·
    take_hours(key: str) · confirm_hours() · go_on()
FormState → FormPresenter: key(key: str) · focus(row: str) · next_row() · toggle_unit() · show_phase(phase: str) ·
    take_suggestion() · measure_again() · toggle_step(number: int) · toggle_finding(key: str) · set_note(text: str) ·
    start_over() · save()
SpliceState → SplicePresenter: key(key: str) · focus(row: str) · next_row() · toggle_unit() · choose_plan(key: str) ·
    go_on() · tick_bolt(number: int) · untick_bolt() · save()
ReplaceState → ReplacePresenter: choose_reason(key: str) · focus(row: str) · set_text(row: str, text: str) ·
    key(key: str) · issue_label() · read_back() · save()
SavedState → SavedPresenter: answer(key: str)
HistoryState → HistoryPresenter: show_scope(key: str) · choose_filter(group: str, key: str) ·
    type_filter(group: str, text: str) · clear_filter() · older() · newer() · open_record(record_id: str) ·
    close_record() · correct() · open_photos() · press_file(key: str)
PhotosState → PhotoPage: take() · keep() · again() · turn()

`key` takes what the kiosk's keypad has: '0'…'9', '.', '/', ' ', '1/2', '1/4', '1/8', '1/16', '1/32', '-', 'unit',
'back', 'clear', 'next'. `label_key` and `hours_key` take digits, '.', 'back', 'clear'; `label_key('enter')` sends.
`pin_key` takes digits, 'back', 'clear', 'enter'; the pad's state has dots, never digits.
"""
