-- Migration 1 of the hub: the kiosks, their entries, what is kept apart, and the only ways to write any of it.
-- Frozen: a later change is a migration of its own. Kiosks of several versions work with one hub: functions and columns
-- are added, never changed or taken away.

CREATE TABLE hub.kiosk (
    number smallint PRIMARY KEY CHECK (number BETWEEN 0 AND 99),
    role name NOT NULL UNIQUE,
    box text NOT NULL DEFAULT '',
    last_seq bigint NOT NULL DEFAULT 0,
    head text NOT NULL DEFAULT repeat('0', 64),
    joined_at timestamptz,
    left_at timestamptz,
    seen_at timestamptz,
    waiting bigint NOT NULL DEFAULT 0,
    chain text NOT NULL DEFAULT '',
    program text NOT NULL DEFAULT ''
);

-- The hash of an entry, as every kiosk makes it: SHA-256 over the hash before it and the entry's canonical JSON (RFC 8785).
CREATE FUNCTION hub.link(previous_hash text, kiosk smallint, seq bigint, id text, at text, person_id text, kind text,
                         body text) RETURNS text LANGUAGE sql IMMUTABLE PARALLEL SAFE
RETURN encode(sha256(decode(previous_hash, 'hex') || convert_to(
    '{"at":' || to_json(at)::text || ',"body":' || body || ',"id":' || to_json(id)::text || ',"kind":'
    || to_json(kind)::text || ',"kiosk":' || kiosk::text || ',"person_id":'
    || coalesce(to_json(person_id)::text, 'null') || ',"seq":' || seq::text || '}', 'UTF8')), 'hex');

CREATE TABLE hub.entry (
    kiosk smallint NOT NULL REFERENCES hub.kiosk (number),
    seq bigint NOT NULL CHECK (seq > 0),
    id text NOT NULL UNIQUE CHECK (length(id) BETWEEN 1 AND 64),
    at text NOT NULL CHECK (length(at) = 27),
    kind text NOT NULL CHECK (length(kind) <= 64),
    person_id text,
    body text NOT NULL CHECK (length(body) <= 1000000),
    previous_hash text NOT NULL,
    hash text NOT NULL,
    taken_at timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (kiosk, seq),
    CONSTRAINT is_what_its_hash_says CHECK (hash = hub.link(previous_hash, kiosk, seq, id, at, person_id, kind, body))
);

-- Entries that do not follow: a kiosk's number used twice, an old copy restored. Nobody takes them in.
CREATE TABLE hub.apart (
    kiosk smallint NOT NULL REFERENCES hub.kiosk (number),
    seq bigint NOT NULL,
    id text NOT NULL,
    at text NOT NULL,
    kind text NOT NULL,
    person_id text,
    body text NOT NULL CHECK (length(body) <= 1000000),
    previous_hash text NOT NULL,
    hash text NOT NULL,
    box text NOT NULL,
    taken_at timestamptz NOT NULL DEFAULT now(),
    PRIMARY KEY (kiosk, seq, hash)
);

-- Whoever it is, the owner included: what was entered stays.
CREATE FUNCTION hub.refuse() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'what was entered is never changed or removed' USING ERRCODE = 'HUB05';
END $$;
CREATE TRIGGER entries_stay BEFORE UPDATE OR DELETE ON hub.entry FOR EACH ROW EXECUTE FUNCTION hub.refuse();
CREATE TRIGGER entries_stay_all BEFORE TRUNCATE ON hub.entry FOR EACH STATEMENT EXECUTE FUNCTION hub.refuse();
CREATE TRIGGER apart_stays BEFORE UPDATE OR DELETE ON hub.apart FOR EACH ROW EXECUTE FUNCTION hub.refuse();
CREATE TRIGGER apart_stays_all BEFORE TRUNCATE ON hub.apart FOR EACH STATEMENT EXECUTE FUNCTION hub.refuse();

-- Whose connection this is; the row stays locked until the end, so that one kiosk's entries come one after another.
CREATE FUNCTION hub.mine() RETURNS hub.kiosk LANGUAGE plpgsql AS $$
DECLARE
    mine hub.kiosk;
BEGIN
    SELECT * INTO mine FROM hub.kiosk WHERE role = session_user FOR UPDATE;
    IF NOT FOUND THEN
        RAISE EXCEPTION 'this account is no kiosk''s' USING ERRCODE = 'HUB06';
    END IF;
    RETURN mine;
END $$;

-- A computer says which kiosk it is. Another computer under the same number is refused unless it takes over by word.
CREATE FUNCTION hub.greet(my_box text, my_program text, take_over boolean)
RETURNS TABLE (number smallint, last_seq bigint, head text)
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    mine hub.kiosk := hub.mine();
BEGIN
    IF mine.box NOT IN ('', my_box) AND NOT take_over THEN
        RAISE EXCEPTION 'another computer is kiosk %', mine.number USING ERRCODE = 'HUB04';
    END IF;
    UPDATE hub.kiosk AS k SET box = my_box, program = left(my_program, 40), seen_at = now(), left_at = NULL,
        joined_at = coalesce(k.joined_at, now()) WHERE k.number = mine.number;
    RETURN QUERY SELECT mine.number, mine.last_seq, mine.head;
END $$;

-- Append the next entries of the kiosk whose connection this is. What is there already is passed over.
CREATE FUNCTION hub.append(my_box text, seqs bigint[], ids text[], ats text[], kinds text[], people text[],
                           bodies text[], previous text[], hashes text[])
RETURNS bigint LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    mine hub.kiosk := hub.mine();
    came record;
    had bigint := mine.last_seq;
BEGIN
    IF mine.box <> my_box THEN
        RAISE EXCEPTION 'another computer is kiosk %', mine.number USING ERRCODE = 'HUB04';
    END IF;
    FOR came IN SELECT n.seq, n.before, n.own FROM unnest(seqs, previous, hashes) AS n (seq, before, own) LOOP
        IF came.seq <= mine.last_seq THEN
            PERFORM FROM hub.entry AS e WHERE e.kiosk = mine.number AND e.seq = came.seq AND e.hash <> came.own;
            IF FOUND THEN
                RAISE EXCEPTION 'entry % is there already, and is another', came.seq USING ERRCODE = 'HUB01';
            END IF;
        ELSIF came.seq <> mine.last_seq + 1 THEN
            RAISE EXCEPTION 'entry % is missing', mine.last_seq + 1 USING ERRCODE = 'HUB02';
        ELSIF came.before <> mine.head THEN
            RAISE EXCEPTION 'entry % does not follow the one before it', came.seq USING ERRCODE = 'HUB01';
        ELSE
            mine.last_seq := came.seq;
            mine.head := came.own;
        END IF;
    END LOOP;
    INSERT INTO hub.entry (kiosk, seq, id, at, kind, person_id, body, previous_hash, hash)
        SELECT mine.number, n.seq, n.id, n.at, n.kind, n.person_id, n.body, n.previous_hash, n.hash
        FROM unnest(seqs, ids, ats, kinds, people, bodies, previous, hashes)
            AS n (seq, id, at, kind, person_id, body, previous_hash, hash)
        WHERE n.seq > had;
    UPDATE hub.kiosk AS k SET last_seq = mine.last_seq, head = mine.head, seen_at = now() WHERE k.number = mine.number;
    RETURN mine.last_seq;
END $$;

-- Hand in entries of one's own number that do not follow, so that they are kept outside this computer too.
CREATE FUNCTION hub.set_apart(my_box text, seqs bigint[], ids text[], ats text[], kinds text[], people text[],
                              bodies text[], previous text[], hashes text[])
RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    mine hub.kiosk := hub.mine();
BEGIN
    INSERT INTO hub.apart (kiosk, seq, id, at, kind, person_id, body, previous_hash, hash, box)
        SELECT mine.number, n.*, left(my_box, 64) FROM unnest(seqs, ids, ats, kinds, people, bodies, previous, hashes) AS n
        ON CONFLICT DO NOTHING;
END $$;

CREATE FUNCTION hub.report(how_many_wait bigint, how_the_chains_are text)
RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    mine hub.kiosk := hub.mine();
BEGIN
    UPDATE hub.kiosk AS k SET waiting = how_many_wait, chain = left(how_the_chains_are, 400), seen_at = now()
        WHERE k.number = mine.number;
END $$;

CREATE FUNCTION hub.leave()
RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
DECLARE
    mine hub.kiosk := hub.mine();
BEGIN
    UPDATE hub.kiosk AS k SET left_at = now(), box = '' WHERE k.number = mine.number;
END $$;
