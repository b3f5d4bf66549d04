"""A second verifier of signed summaries, after schemas/README.md; the numbers are its rules.

Reads a JSON list of cases on stdin, each with name and kind: `summary`, with summary, trust (a bundle or null), keys (JWKs)
and, where there are such, log, files (checkpoint and tiles) and comparison; or a part of the log alone, `inclusion`,
`consistency`, `checkpoint`, `trust-list`, `withdrawal`. Writes a JSON list of what comes of each. Signatures are checked by the
openssl command.
"""
import base64
import hashlib
import json
import re
import struct
import subprocess
import sys
import tempfile
from decimal import Decimal

P = 2**255 - 19
SMALL = {bytes.fromhex('26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05'),
         bytes.fromhex('c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a')}
ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_'
INSTANT = re.compile(r'(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d)(?:\.(\d{1,9}))?Z')


class Refused(Exception):
    pass


class Duplicate(Exception):
    pass


def require(holds, code):
    if not holds:
        raise Refused(code)


# Section 1: JSON -----------------------------------------------------------------------------------------------------

def pairs_once(pairs):
    names = [name for name, _ in pairs]
    if '__proto__' in names:
        raise ValueError('name')
    if len(set(names)) != len(names):
        raise Duplicate()
    return dict(pairs)


def number(text):
    value = float(text)
    digits = re.split('[eE]', text)[0]
    if abs(value) >= 2**53 or (value == 0 and (text.startswith('-') or digits.strip('-0.'))):
        raise ValueError('number')
    return value


def constant(_):
    raise ValueError('constant')


def check_depth(value, depth=1):
    if isinstance(value, (dict, list)):
        if depth > 32:
            raise ValueError('depth')
        for each in value.values() if isinstance(value, dict) else value:
            check_depth(each, depth + 1)
    if isinstance(value, dict):
        for name in value:
            name.encode('utf-8')
    if isinstance(value, str):
        value.encode('utf-8')


def read_json(data):
    text = data.decode('utf-8')
    if text.startswith('\ufeff'):
        raise ValueError('mark')
    value = json.loads(text, object_pairs_hook=pairs_once, parse_int=number, parse_float=number, parse_constant=constant)
    check_depth(value)
    return value


# RFC 8785 -----------------------------------------------------------------------------------------------------------

def write_number(value):
    if value == 0:
        return '0'
    sign, figures, exponent = Decimal(repr(float(value))).normalize().as_tuple()
    figures = ''.join(map(str, figures))
    k, n = len(figures), len(figures) + exponent
    if k <= n <= 21:
        text = figures + '0' * (n - k)
    elif 0 < n <= 21:
        text = figures[:n] + '.' + figures[n:]
    elif -6 < n <= 0:
        text = '0.' + '0' * -n + figures
    else:
        text = figures[0] + ('.' + figures[1:] if k > 1 else '') + f'e{n - 1:+d}'
    return ('-' if sign else '') + text


def write_text(text):
    escapes = {'"': '\\"', '\\': '\\\\', '\b': '\\b', '\f': '\\f', '\n': '\\n', '\r': '\\r', '\t': '\\t'}
    return '"' + ''.join(escapes.get(c) or (f'\\u{ord(c):04x}' if c < ' ' else c) for c in text) + '"'


def canonical(value):
    if isinstance(value, dict):
        names = sorted(value, key=lambda name: name.encode('utf-16-be'))
        return '{' + ','.join(write_text(name) + ':' + canonical(value[name]) for name in names) + '}'
    if isinstance(value, list):
        return '[' + ','.join(map(canonical, value)) + ']'
    if isinstance(value, bool):
        return 'true' if value else 'false'
    if value is None:
        return 'null'
    return write_text(value) if isinstance(value, str) else write_number(value)


# Rules 14 to 19 ------------------------------------------------------------------------------------------------------

def base64url(text):
    if re.search('[^A-Za-z0-9_-]', text) or len(text) % 4 == 1:
        return None
    data = base64.urlsafe_b64decode(text + '=' * (-len(text) % 4))
    return data if base64.urlsafe_b64encode(data).decode().rstrip('=') == text else None


def base64_text(text):
    try:
        data = base64.b64decode(text, validate=True)
    except ValueError:
        return None
    return data if base64.b64encode(data).decode() == text else None


def envelope(summary):
    require(isinstance(summary, str), 'ERR_JWS_TYPE')
    require(len(summary) <= 8_388_608, 'ERR_JWS_LENGTH')
    parts = summary.split('.')
    require(len(parts) == 3, 'ERR_JWS_PARTS')
    read = [base64url(part) for part in parts]
    require(None not in read, 'ERR_JWS_ENCODING')
    require(len(read[2]) == 64, 'ERR_JWS_SIGNATURE_LENGTH')
    try:
        header = read_json(read[0])
    except Duplicate:
        raise Refused('ERR_JWS_HEADER_DUPLICATE_NAME')
    except (ValueError, RecursionError):
        raise Refused('ERR_JWS_HEADER_JSON')
    return header, read[1], read[2], '.'.join(parts[:2]).encode('ascii')


def check_header(header):
    require(isinstance(header, dict), 'ERR_HEADER_MEMBER')
    for name in ('b64', 'crit', 'jku', 'jwk', 'x5u', 'x5c'):
        require(name not in header, f'ERR_HEADER_{name.upper()}')
    require(set(header) <= {'alg', 'kid', 'typ'}, 'ERR_HEADER_MEMBER')
    alg = header.get('alg')
    lower = alg.lower() if isinstance(alg, str) else ''
    require(lower != 'none', 'ERR_HEADER_ALG_NONE')
    require(not re.match(r'hs\d', lower), 'ERR_HEADER_ALG_SYMMETRIC')
    require(alg == 'Ed25519', 'ERR_HEADER_ALG_OTHER')
    require(header.get('typ') == 'fairpull-summary+jws', 'ERR_HEADER_TYP')
    kid = header.get('kid')
    require(isinstance(kid, str) and re.fullmatch('[A-Za-z0-9_-]{43}', kid), 'ERR_HEADER_KID')
    return kid


def typed(jws, typ, keys):
    """Rules 14 to 16 and 18 for another type: the key's thumbprint and the payload bytes, or where it fails."""
    try:
        header, payload_bytes, signature, signed = envelope(jws)
    except Refused:
        return 'form', None, None
    if not isinstance(header, dict) or set(header) != {'alg', 'kid', 'typ'}:
        return 'form', None, None
    if header['alg'] != 'Ed25519' or header['typ'] != typ:
        return 'form', None, None
    kid = header['kid']
    point = next((point for point in keys if point and thumbprint(point) == kid), None)
    if point is None:
        return 'no-key', None, None
    if not signed_by(point, signed, signature):
        return 'signature', None, None
    try:
        value = read_json(payload_bytes)
    except (ValueError, RecursionError, Duplicate):
        return 'form', None, None
    return ('ok', kid, value) if isinstance(value, dict) else ('form', None, None)


def is_whole(value):
    return isinstance(value, (int, float)) and not isinstance(value, bool) and float(value).is_integer() and value >= 0


def instant(text):
    match = INSTANT.fullmatch(text) if isinstance(text, str) else None
    return None if match is None else match[1] + '.' + (match[2] or '').ljust(9, '0')


def read_payload(data):
    try:
        value = read_json(data)
    except (ValueError, RecursionError, Duplicate):
        raise Refused('ERR_PAYLOAD_JSON')
    require(canonical(value).encode() == data, 'ERR_PAYLOAD_NOT_CANONICAL')
    text = lambda each: isinstance(each, str) and each != ''
    texts = lambda each: isinstance(each, list) and all(isinstance(one, str) for one in each)
    try:
        issue, result = value['issue'], value['result']
        runs = result['inputs']['runs']
        holds = all([
            *(text(issue[name]) for name in ('id', 'issuer', 'submitter')), instant(issue['issuedAt']) is not None,
            issue['supersedes'] is None or isinstance(issue['supersedes'], str),
            issue['registration'] in ('pre-registered', 'amended', 'none'), texts(issue['receipts']),
            text(result['method']), text(result['protocol']['id']), text(result['protocol']['digest']),
            text(result['inputs']['comparison']), isinstance(runs, list),
            all(text(run['run']) and text(run['digest']) for run in runs),
            result['standing'] in ('valid', 'limited', 'invalid'), texts(result['scope']), texts(result['limits']),
        ])
    except (KeyError, TypeError):
        holds = False
    require(holds, 'ERR_PAYLOAD_SHAPE')
    return value


# Rules 20, 21 --------------------------------------------------------------------------------------------------------

def point_of(jwk):
    raw = base64url(jwk['x'])
    y = int.from_bytes(raw, 'little') & (2**255 - 1)
    plain = y.to_bytes(32, 'little')
    good = len(raw) == 32 and 'd' not in jwk and y < P and y not in (0, 1, P - 1) and plain not in SMALL
    return raw if good else None


def thumbprint(raw):
    x = base64.urlsafe_b64encode(raw).decode().rstrip('=')
    digest = hashlib.sha256(f'{{"crv":"Ed25519","kty":"OKP","x":"{x}"}}'.encode()).digest()
    return base64.urlsafe_b64encode(digest).decode().rstrip('=')


def signed_by(raw, data, signature):
    with tempfile.TemporaryDirectory() as folder:
        paths = {name: f'{folder}/{name}' for name in ('key', 'data', 'signature')}
        content = {'key': bytes.fromhex('302a300506032b6570032100') + raw, 'data': data, 'signature': signature}
        for name, path in paths.items():
            with open(path, 'wb') as file:
                file.write(content[name])
        command = ['openssl', 'pkeyutl', '-verify', '-pubin', '-keyform', 'DER', '-inkey', paths['key'], '-rawin',
                   '-in', paths['data'], '-sigfile', paths['signature']]
        return subprocess.run(command, capture_output=True).returncode == 0


# Section 10: the log -------------------------------------------------------------------------------------------------

def sha256(data):
    return hashlib.sha256(data).digest()


def inclusion_holds(index, size, leaf, root, proof):
    if not 0 <= index < size:
        return False
    at, last, reached = index, size - 1, leaf
    for sibling in proof:
        if last == 0:
            return False
        if at % 2 == 1 or at == last:
            reached = sha256(b'\1' + sibling + reached)
            while at % 2 == 0 and at != 0:
                at, last = at // 2, last // 2
        else:
            reached = sha256(b'\1' + reached + sibling)
        at, last = at // 2, last // 2
    return last == 0 and reached == root


def read_note(text):
    body, blank, lines = text.rpartition('\n\n')
    signatures = []
    if not blank or not lines.endswith('\n'):
        return None
    for line in lines[:-1].split('\n'):
        match = re.fullmatch(r'— (\S+) (\S+)', line)
        data = match and base64_text(match[2])
        if not data or len(data) <= 4 or '+' in match[1]:
            return None
        signatures.append((match[1], data[:4], data[4:]))
    return body + '\n', signatures


def node(left, right):
    return sha256(b'\1' + left + right)


def tree_root(leaves):
    """The Merkle tree hash of RFC 9162 section 2.1.1."""
    if len(leaves) < 2:
        return leaves[0] if leaves else sha256(b'')
    split = 1 << ((len(leaves) - 1).bit_length() - 1)
    return node(tree_root(leaves[:split]), tree_root(leaves[split:]))


def consistency_holds(old, old_root, new, new_root, proof):
    """RFC 9162 section 2.1.4.2; the empty tree begins every tree."""
    if not 0 <= old <= new:
        return False
    if old == 0 or old == new:
        return not proof and (old_root == sha256(b'') if old == 0 else old_root == new_root)
    path = [old_root, *proof] if old & (old - 1) == 0 else list(proof)
    at, last = old - 1, new - 1
    while at % 2 == 1:
        at, last = at // 2, last // 2
    if not path:
        return False
    older = newer = path[0]
    for sibling in path[1:]:
        if last == 0:
            return False
        if at % 2 == 1 or at == last:
            older, newer = node(sibling, older), node(sibling, newer)
            while at % 2 == 0 and at != 0:
                at, last = at // 2, last // 2
        else:
            newer = node(newer, sibling)
        at, last = at // 2, last // 2
    return last == 0 and older == old_root and newer == new_root


def read_checkpoint(text, trusted):
    """Rules 37, 38: origin, size, root, and whether a trusted log signed it."""
    note = read_note(text)
    match = note and re.fullmatch(r'([^\n]+)\n(0|[1-9]\d{0,15})\n([^\n]+)\n(?:[^\n]+\n)*', note[0])
    root = match and base64_text(match[3])
    require(root and len(root) == 32, 'ERR_LOG_CHECKPOINT')
    known = [key for key in trusted if key.split('+', 2)[0] == match[1]] if trusted else []
    is_trusted = False
    for key in known:
        name, _, encoded = key.split('+', 2)
        raw = base64_text(encoded)[1:]
        key_id = sha256(name.encode() + b'\n\1' + raw)[:4]
        mine = [sig for who, kid, sig in note[1] if who == name and kid == key_id]
        is_trusted |= bool(mine) and all(signed_by(raw, note[0].encode(), sig) for sig in mine)
    require(is_trusted or not known, 'ERR_LOG_CHECKPOINT')
    return match[1], int(match[2]), root, is_trusted


def leaf_of(entry):
    return sha256(b'\0' + entry)


def summary_leaf(summary):
    return leaf_of(b'fairpull-summary-v1\n' + sha256(summary.encode('ascii')))


def check_log(summary, log, trusted):
    """Rules 36 to 39: the state, the index where it counts, and the tree."""
    hashes = None
    if isinstance(log, dict) and isinstance(log.get('proof'), list):
        hashes = [base64_text(each) if isinstance(each, str) else None for each in log['proof']]
    index = log.get('index') if isinstance(log, dict) else None
    is_number = isinstance(index, (int, float)) and not isinstance(index, bool)
    require(hashes is not None and None not in hashes and is_number and isinstance(log.get('checkpoint'), str),
            'ERR_LOG_RECEIPT_FORM')
    origin, size, root, is_trusted = read_checkpoint(log['checkpoint'], trusted)
    holds = all(len(each) == 32 for each in hashes) and float(index).is_integer()
    require(holds and inclusion_holds(int(index), size, summary_leaf(summary), root, hashes), 'ERR_LOG_INCLUSION')
    return ('proven', int(index), (origin, size, root)) if is_trusted else ('log-unknown', None, (origin, size, root))


def tile_path(level, number, width):
    digits = str(number)
    digits = digits.zfill(-(-len(digits) // 3) * 3)
    groups = re.findall('...', digits)
    path = '/'.join(['x' + group for group in groups[:-1]] + groups[-1:])
    return f'tile/{level}/{path}' + ('' if width == 256 else f'.p/{width}')


class Log:
    """Rule 42: a log at hand. All hashes of level 0 are read, and have to lead to the root hash."""

    def __init__(self, files, trusted):
        self.origin, self.size, root, self.is_trusted = read_checkpoint(files['checkpoint'], trusted)
        self.leaves = []
        for number in range(-(-self.size // 256)):
            path = tile_path(0, number, min(256, self.size - 256 * number))
            data = base64.b64decode(files['tiles'].get(path, ''))
            self.leaves += [data[at:at + 32] for at in range(0, len(data), 32)]
        require(len(self.leaves) == self.size and tree_root(self.leaves) == root, 'ERR_LOG_TILES')


def look_up(summary, log, place):
    """Rule 43."""
    state, index, tree = place or ('not-checked', None, None)
    if log is None:
        return state, index
    if tree is not None and tree[0] == log.origin and tree[1] <= log.size:
        require(tree_root(log.leaves[:tree[1]]) == tree[2], 'ERR_LOG_FORK')
    if state == 'proven':
        return state, index
    leaf = summary_leaf(summary)
    found = next((at for at in reversed(range(log.size)) if log.leaves[at] == leaf), None)
    if found is None:
        return ('not-in-log' if place is None else state), None
    return ('proven', found) if log.is_trusted else ('log-unknown', None)


# Section 3: digests --------------------------------------------------------------------------------------------------

def digest(tag, *parts):
    return 'sha256:' + sha256(b''.join([f'{tag}\n'.encode(), *parts])).hex()


def run_digest(run):
    head, columns = dict(run), []
    if 'channels' in run:
        head['channels'] = {}
        for name in sorted(run['channels'], key=lambda name: name.encode('utf-16-be')):
            channel = dict(run['channels'][name])
            values, encoded = channel.pop('values', None), channel.pop('base64', None)
            data = struct.pack(f'<{len(values)}d', *values) if encoded is None else base64_text(encoded)
            head['channels'][name] = channel
            columns += [name.encode(), b'\0', channel['unit'].encode(), b'\0', struct.pack('<Q', len(data) // 8), data]
    return digest('fairpull-run-v1', canonical(head).encode(), *columns)


def is_judged(comparison, inputs):
    """Rule 26: whether this is the comparison that was judged."""
    digests = [run_digest(run) for run in comparison['runs']]
    if [(run['id'], each) for run, each in zip(comparison['runs'], digests)] != [
            (run['run'], run['digest']) for run in inputs['runs']]:
        return False
    return digest('fairpull-comparison-v1', canonical({**comparison, 'runs': digests}).encode()) == inputs['comparison']


# Section 13: plans and receipts --------------------------------------------------------------------------------------

def check_contradiction(issue, plan):
    registration = issue['registration']
    require((issue['receipts'] == []) == (registration == 'none'), 'ERR_REGISTRATION_CONTRADICTED')
    require(plan is not None or registration == 'none', 'ERR_REGISTRATION_CONTRADICTED')
    require(plan is None or plan.get('registration') == registration, 'ERR_REGISTRATION_CONTRADICTED')


def read_receipts(payload, case, index):
    """Rules 53 to 56: the receipts, or None where a key is not at hand."""
    issue, result, trust = payload['issue'], payload['result'], case.get('trust')
    entries = trust['keys'] if trust else []
    points = [point_of(jwk) for jwk in [*(each['jwk'] for each in entries), *case.get('keys', [])]]
    receipts = []
    for at, jws in enumerate(issue['receipts']):
        outcome, kid, receipt = typed(jws, 'fairpull-receipt+jws', points)
        if outcome == 'no-key':
            return None
        require(outcome != 'form', 'ERR_RECEIPT_FORM')
        require(outcome != 'signature', 'ERR_RECEIPT_SIGNATURE')
        texts = [receipt.get(name) for name in ('issuer', 'plan', 'run', 'digest')]
        texts += [''] if receipt.get('mounting', 0) is None else [receipt.get('mounting', 0)]
        wholes = [receipt.get('number'), receipt.get('logIndex')]
        arrived, issued = instant(receipt.get('receivedAt')), instant(issue['issuedAt'])
        has_form = all(isinstance(text, str) for text in texts) and all(map(is_whole, wholes)) and arrived is not None
        require(has_form, 'ERR_RECEIPT_FORM')
        if trust is not None:
            entry = next((each for each in entries if thumbprint(point_of(each['jwk'])) == kid), None)
            if entry is None:
                return None
            meets = instant(entry['notBefore']) <= issued and ('notAfter' not in entry or arrived <= instant(entry['notAfter']))
            require(entry['issuer'] == issue['issuer'] and meets, 'ERR_RECEIPT_KEY')
        require(receipt['issuer'] == issue['issuer'], 'ERR_RECEIPT_ISSUER')
        require(receipt['plan'] == result['plan']['id'], 'ERR_RECEIPT_PLAN')
        require(receipt['number'] == at + 1, 'ERR_RECEIPT_NUMBER')
        require(arrived <= issued, 'ERR_RECEIPT_TIME')
        receipts.append(receipt)
    named = [(each['run'], each['digest']) for each in receipts]
    require(named == [(run['run'], run['digest']) for run in result['inputs']['runs']], 'ERR_RECEIPT_RUN')
    places = [each['logIndex'] for each in receipts]
    is_before = index is None or all(place < index for place in places)
    require(len(set(places)) == len(places) and is_before, 'ERR_RECEIPT_INDEX')
    return receipts


def salted(tag, salt, value):
    return f'{tag}\n'.encode() + sha256(bytes.fromhex(salt) + canonical(value).encode())


def plan_first(issue, receipts, comparison, log):
    """Rules 57 to 59."""
    plan = comparison.get('plan') if comparison else None
    if receipts is None or plan is None or log is None:
        return 'not-checkable'
    last = plan['amendments'][-1] if plan['amendments'] else {'version': 1, 'reason': None, 'logIndex': plan['logIndex']}
    version = {'plan': plan['id'], 'version': last['version'], 'reason': last['reason'], 'terms': plan['terms']}
    places = [int(each['logIndex']) for each in receipts]
    if max(last['logIndex'], *places) >= log.size:
        return 'not-checkable'
    entry = salted('fairpull-plan-v1', plan['salt'], version)
    require(log.leaves[last['logIndex']] == leaf_of(entry), 'ERR_PLAN_ENTRY')
    for place, each in zip(places, receipts):
        named = {name: each[name] for name in ('plan', 'number', 'digest', 'mounting')}
        require(log.leaves[place] == leaf_of(salted('fairpull-plan-run-v1', plan['salt'], named)), 'ERR_RECEIPT_ENTRY')
    if issue['registration'] == 'amended':
        return 'no'
    require(last['logIndex'] < min(places), 'ERR_PLAN_ORDER')
    return 'yes' if log.is_trusted else 'not-checkable'


def check_registration(payload, case, index, log):
    issue, result = payload['issue'], payload['result']
    check_contradiction(issue, result.get('plan'))
    if issue['registration'] == 'none':
        return 'no-plan'
    receipts = read_receipts(payload, case, index)
    comparison = case.get('comparison')
    if comparison is not None and not is_judged(comparison, result['inputs']):
        comparison = None
    return plan_first(issue, receipts, comparison, log)


# Section 6: the procedure --------------------------------------------------------------------------------------------

def verify(case):
    header, payload_bytes, signature, signed = envelope(case['summary'])
    kid = check_header(header)
    payload = read_payload(payload_bytes)
    trust = case.get('trust') or {'keys': []}
    candidates = [entry['jwk'] for entry in trust['keys']] + case.get('keys', [])
    points = [point for point in map(point_of, candidates) if point and thumbprint(point) == kid]
    require(points, 'ERR_SIGNATURE_NO_KEY')
    require(signed_by(points[0], signed, signature), 'ERR_SIGNATURE_BROKEN')

    logged, index, log_code = 'not-checked', None, None
    log = Log(case['files'], trust.get('logs', [])) if 'files' in case else None
    try:
        place = check_log(case['summary'], case['log'], trust.get('logs', [])) if 'log' in case else None
        logged, index = look_up(case['summary'], log, place)
    except Refused as refusal:
        logged, log_code = 'refused', str(refusal)
    entry = next((each for each in trust['keys'] if thumbprint(point_of(each['jwk'])) == kid), None)
    if entry is not None:
        at = instant(payload['issue']['issuedAt'])
        require(entry['issuer'] == payload['issue']['issuer'], 'ERR_KEY_OTHER_ISSUER')
        in_time = instant(entry['notBefore']) <= at and ('notAfter' not in entry or at <= instant(entry['notAfter']))
        require(in_time, 'ERR_KEY_OUTSIDE_WINDOW')
        limit = entry.get('notTrustedFromIndex')
        require(limit is None or (index is not None and index < limit), 'ERR_KEY_REVOKED')
    require(log_code is None, log_code)
    first = check_registration(payload, case, index, log)
    return ('verified' if entry is not None else 'intact-key-unknown'), logged, first


def read_trust_list(case):
    """Section 11; the bundle inside is that of rule 23."""
    outcome, _, value = typed(case['list'], 'fairpull-trust+jws', [point_of(case['root'])])
    require(outcome == 'ok', 'ERR_TRUST_LIST_SIGNATURE')
    version, expires = value.get('version'), instant(value.get('expiresAt'))
    has_form = is_whole(version) and version >= 1 and expires is not None and instant(value.get('issuedAt')) is not None
    require(has_form, 'ERR_TRUST_LIST_FORM')
    require(instant(case['now']) <= expires, 'ERR_TRUST_LIST_EXPIRED')
    seen = case.get('seen')
    own = 'sha256:' + sha256(canonical(value).encode()).hex()
    require(seen is None or version >= seen['version'], 'ERR_TRUST_LIST_OLDER')
    require(seen is None or version > seen['version'] or own == seen['digest'], 'ERR_TRUST_LIST_OTHER')
    return {'version': int(version), 'digest': own}


def read_withdrawal(case):
    outcome, _, value = typed(case['notice'], 'fairpull-withdrawal+jws', [point_of(jwk) for jwk in case['keys']])
    names = ('issuer', 'summary', 'at', 'reason')
    has_form = outcome == 'ok' and all(isinstance(value.get(name), str) for name in names) and instant(value['at'])
    return 'withdrawn' if has_form and value['summary'] == case['summary'] and value['issuer'] == case['issuer'] else 'nothing'


def read_proof(case):
    hashes = [base64.b64decode(each) for each in case['proof']]
    if case['kind'] == 'inclusion':
        return inclusion_holds(case['index'], case['size'], base64.b64decode(case['leaf']), base64.b64decode(case['root']), hashes)
    roots = base64.b64decode(case['oldRoot']), base64.b64decode(case['newRoot'])
    return consistency_holds(case['oldSize'], roots[0], case['newSize'], roots[1], hashes)


def answer_part(case):
    kind = case['kind']
    if kind in ('inclusion', 'consistency'):
        return {'holds': read_proof(case)}
    if kind == 'withdrawal':
        return {'says': read_withdrawal(case)}
    try:
        if kind == 'trust-list':
            return {'code': None, **read_trust_list(case)}
        origin, size, root, is_trusted = read_checkpoint(case['checkpoint'], case['logs'])
        return {'code': None, 'origin': origin, 'size': size, 'root': root.hex(), 'isTrusted': is_trusted}
    except Refused as refusal:
        return {'code': str(refusal)}


def answer(case):
    if case['kind'] != 'summary':
        return {'name': case['name'], **answer_part(case)}
    try:
        verdict, logged, first = verify(case)
        return {'name': case['name'], 'verdict': verdict, 'code': None, 'logged': logged, 'planFirst': first}
    except Refused as refusal:
        return {'name': case['name'], 'verdict': 'refused', 'code': str(refusal), 'logged': None, 'planFirst': None}


json.dump([answer(case) for case in json.load(sys.stdin)], sys.stdout)
