"""The port map: a draft that follows each change, and numbered revisions that never change."""

import hashlib
from collections.abc import Collection

from sqlalchemy import func
from sqlmodel import Session, select

from server.records import tickets as heads
from server.records.engine import writing
from server.records.tables import (
    BoardPad,
    BoardPort,
    BoardRail,
    BoardRecord,
    Build,
    BuildFinding,
    Component,
    MapDraft,
    Ticket,
    TicketEvent,
    WireRecord,
)
from server.trade import sheet as sheets
from server.trade.events import Event
from server.trade.sheet import Sheet
from server.trade.ticket import ON_A_BENCH
from server.trade.wiring.portmap import port_map
from server.work.bench.power import fall_to_cold
from server.work.bench.progress import work_of
from server.work.bench.recording import recount
from server.work.bench.soldered import entries_now
from server.work.errors import Locked, Missing, Stale
from server.work.permissions import require
from server.work.port_map.facts import facts_of
from server.work.port_map.reopening import reopens
from server.work.shop import Person, Shop
from server.work.ticket import shared


def draw_up(
    shop: Shop, by: Person, number: int, *, sheet: Sheet, version: int, came_from: int | None = None
) -> MapDraft:
    """Keep the map as it is now being entered. `version` is the draft's that the page showed, 0
    for none; raises Stale where somebody else changed it since.
    """
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        _require_mappable(session, ticket, by)
        draft = session.get(MapDraft, ticket.id)
        _require_version(draft, version)
        text, at = sheets.dump_json(sheet), shop.now()
        if draft is None:
            draft = MapDraft(ticket_id=ticket.id, sheet=text, version=0, by_id=by.id, changed_at=at)
            session.add(draft)
        draft.sheet, draft.version = text, draft.version + 1
        draft.came_from_id = came_from or draft.came_from_id
        draft.by_id, draft.changed_at = by.id, at
        return draft


def give_up(shop: Shop, by: Person, number: int) -> None:
    """Drop the draft; the map in force stays."""
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        draft = session.get(MapDraft, ticket.id)
        if draft is not None:
            session.delete(draft)


def save(
    shop: Shop,
    by: Person,
    number: int,
    *,
    version: int,
    act_key: str,
    sheet: Sheet | None = None,
    asked: Collection[str] | None = None,
) -> Build:
    """Make the draft the next revision of the map, and the base of the bench card.

    `sheet` is saved in the draft's place: what was drawn up, with the planner's moves made. `asked`
    are the steps that somebody was told it re-opens: where it would re-open another one, by now,
    they are asked again. The craft is cold then: leads are not moved under power. Raises Stale,
    Locked, Missing.
    """
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if saved := shared.done_before(session, ticket, act_key, Event.MAP_SAVED):
            return _saved_by(session, saved)
        _require_mappable(session, ticket, by)
        draft = session.get(MapDraft, ticket.id)
        if draft is None and sheet is None:
            raise Missing("There is no changed map to save.", "Change a lead first.")
        _require_version(draft, version)
        text = sheets.dump_json(sheet) if sheet else draft.sheet if draft else ""
        if asked is not None:
            _require_asked(session, number, text, asked)
        at = shop.now()
        fall_to_cold(session, ticket, by, at, "The map changed.")
        build = _build(session, shop, ticket, by, text, draft.came_from_id if draft else None)
        if draft is not None:
            session.delete(draft)
        ticket.revision = build.revision
        recount(session, ticket, facts_of(build.sheet))
        told = {"revision": build.revision}
        shared.note(session, ticket, by, at, Event.MAP_SAVED, act_key=act_key, **told)
        return build


def _saved_by(session: Session, saved: TicketEvent) -> Build:
    """The revision that this very act made, whatever was saved since: each save is one event."""
    same = select(func.count()).where(
        TicketEvent.ticket_id == saved.ticket_id,
        TicketEvent.kind == Event.MAP_SAVED,
        TicketEvent.id <= saved.id,
    )
    revision = session.exec(same).one()
    wanted = select(Build).where(Build.ticket_id == saved.ticket_id, Build.revision == revision)
    return session.exec(wanted).one()


def _require_asked(session: Session, number: int, text: str, asked: Collection[str]) -> None:
    connection = session.connection()
    head = heads.head(connection, number)
    work = work_of(connection, head) if head else None
    if head is None or work is None:
        return
    after = facts_of(text)
    entries = entries_now(connection, head.id, after.card, head.revision + 1)
    found = reopens(work.steps, entries, work.accepted, after)
    more = [step for step in (*found.again, *found.gone) if step.key not in asked]
    if more:
        named = ", ".join(f"{step.number} {step.title}" for step in more)
        raise Stale(
            f"Meanwhile more was recorded: saving would re-open {named} too.",
            "Look at the list again, then save.",
        )


def board_row(session: Session, shop: Shop, board: sheets.Board, *, listed: bool) -> BoardRecord:
    """The catalogue's row of this board, entered with its rails, ports and pads when it is new."""
    maker = board.maker or ""
    row = session.exec(
        select(BoardRecord).where(
            BoardRecord.maker == maker,
            BoardRecord.model == board.model,
            BoardRecord.mcu == board.mcu,
        )
    ).one_or_none()
    if row is not None:
        return row
    low, high = board.supply_v
    row = BoardRecord(
        maker=maker,
        model=board.model,
        mcu=board.mcu,
        listed=listed,
        created_at=shop.now(),
        search_key=folded(maker, board.model, board.mcu),
        supply_low=str(low),
        supply_high=str(high),
    )
    session.add(row)
    session.flush()
    _board_parts(session, row, board)
    return row


def folded(*words: str | None) -> str:
    """Text as the search compares it."""
    return " ".join(word for word in words if word).casefold()


def _board_parts(session: Session, row: BoardRecord, board: sheets.Board) -> None:
    rails = {
        rail.rail: BoardRail(
            board_id=row.id,
            position=i,
            rail=rail.rail,
            volts=str(rail.volts),
            amps="" if rail.amps is None else str(rail.amps),
        )
        for i, rail in enumerate(board.rails)
    }
    ports = {
        port.port: BoardPort(
            board_id=row.id,
            position=i,
            port=port.port,
            taken_by=port.taken_by,
            software=_told(port, "software"),
            max_baud=_text(_told(port, "max_baud")),
        )
        for i, port in enumerate(board.ports)
    }
    session.add_all([*rails.values(), *ports.values()])
    session.flush()
    for i, pad in enumerate(board.pads):
        port, rail = ports.get(pad.port or ""), rails.get(pad.rail or "")
        session.add(
            BoardPad(
                board_id=row.id,
                position=i,
                pad=pad.pad,
                signal=pad.signal,
                output=pad.output,
                port_id=port.id if port else None,
                rail_id=rail.id if rail else None,
                timer=pad.timer,
                max_v=_text(_told(pad, "max_v")),
                inverter=_told(pad, "inverter"),
            )
        )


def _told(part: sheets.Port | sheets.Pad, name: str):  # type: ignore[no-untyped-def]  # any column
    """The value where the sheet gives it; None where it was left out."""
    return getattr(part, name) if name in part.model_fields_set else None


def _text(value: object) -> str | None:
    return None if value is None else str(value)


def _require_mappable(session: Session, ticket: Ticket, by: Person) -> None:
    shared.require_open(ticket)
    if ticket.state not in ON_A_BENCH:
        raise Locked(
            f"Ticket {ticket.number:04d} is not on a bench.", "Take it first, then enter its map."
        )


def _require_version(draft: MapDraft | None, version: int) -> None:
    if (draft.version if draft else 0) != version:
        raise Stale("Somebody else changed this map meanwhile.", "Look at it anew, then change it.")


def _build(
    session: Session, shop: Shop, ticket: Ticket, by: Person, text: str, came_from: int | None
) -> Build:
    facts = facts_of(text)
    build = Build(
        ticket_id=ticket.id,
        revision=ticket.revision + 1,
        sheet=text,
        digest=hashlib.sha256(text.encode()).hexdigest(),
        board_id=board_row(session, shop, facts.sheet.board, listed=False).id,
        came_from_id=came_from,
        created_at=shop.now(),
        by_id=by.id,
    )
    session.add(build)
    session.flush()
    add_parts(session, build, facts.sheet)
    session.add_all(
        BuildFinding(
            build_id=build.id, position=i, code=f.code, severity=f.severity, subject=f.subject
        )
        for i, f in enumerate(facts.findings)
    )
    return build


def add_parts(session: Session, build: Build, sheet: Sheet) -> None:
    """The parts and wires of a build as rows, for the search."""
    parts = {
        device.device: Component(
            build_id=build.id,
            position=i,
            device=device.device,
            kind=device.kind,
            maker=device.maker or "",
            model=device.model or "",
            search_key=folded(device.device, device.kind, device.maker, device.model),
        )
        for i, device in enumerate(sheet.devices)
    }
    session.add_all(parts.values())
    session.flush()
    ports = {pad.pad: pad.port for pad in sheet.board.pads}
    spoken = {
        (row.device, lead): row.protocol
        for row in port_map(sheet)
        for lead in (row.hears_lead, row.talks_lead)
    }
    for wire in sheet.wires:
        if wire.device in parts:
            session.add(
                WireRecord(
                    build_id=build.id,
                    component_id=parts[wire.device].id,
                    lead=wire.lead,
                    pad=wire.pad,
                    port=ports.get(wire.pad),
                    protocol=spoken.get((wire.device, wire.lead)),
                )
            )
