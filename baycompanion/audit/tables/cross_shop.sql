-- The questions across shops, asked of the tables that `export` writes. Standard SQL that DuckDB
-- and Spark run as it stands, the one on a laptop, the other on many machines.
--
-- Each query begins with its name, what it tells, and the columns that one of its rows stands for.
-- Gates come first, people last. Every order is whole, so that both engines give the same rows in
-- the same order; texts are ordered by their UTF-8 bytes, as both do.

-- query: overrides_by_gate
-- tells: Gates, in jobs of all shops
-- by: procedure, revision, gate
SELECT
    procedure,
    revision,
    gate,
    COUNT(DISTINCT shop) AS shops,
    COUNT(CASE WHEN reached THEN 1 END) AS reached,
    COUNT(CASE WHEN passed THEN 1 END) AS passed,
    COUNT(CASE WHEN overridden THEN 1 END) AS overridden,
    COUNT(CASE WHEN held THEN 1 END) AS held,
    COUNT(CASE WHEN NOT reached THEN 1 END) AS not_applicable,
    CAST(COUNT(CASE WHEN overridden THEN 1 END) AS DOUBLE)
        / NULLIF(COUNT(CASE WHEN reached THEN 1 END), 0) AS overridden_share
FROM gates
GROUP BY procedure, revision, gate
ORDER BY procedure, revision, MIN(place), gate;

-- query: overrides_by_gate_and_shop
-- tells: Gates that were overridden, shop by shop
-- by: procedure, revision, gate, shop
WITH each_shop AS (
    SELECT
        procedure,
        revision,
        gate,
        shop,
        MIN(place) AS place,
        COUNT(CASE WHEN reached THEN 1 END) AS reached,
        COUNT(CASE WHEN overridden THEN 1 END) AS overridden
    FROM gates
    GROUP BY procedure, revision, gate, shop
),
beside_others AS (
    SELECT
        each_shop.*,
        MIN(place) OVER (PARTITION BY procedure, revision, gate) AS first_place,
        MAX(overridden) OVER (PARTITION BY procedure, revision, gate) AS most_overridden
    FROM each_shop
)
SELECT
    procedure,
    revision,
    gate,
    shop,
    reached,
    overridden,
    CAST(overridden AS DOUBLE) / reached AS overridden_share
FROM beside_others
WHERE most_overridden > 0 AND reached > 0
ORDER BY procedure, revision, first_place, gate, shop;

-- Quantiles are definition 7 of Hyndman and Fan (1996), which standard SQL calls PERCENTILE_CONT:
-- rank 1 + (n - 1) x share, with a straight line between two times.

-- query: phase_times
-- tells: Time that so many of the closed jobs stayed within, by phase
-- by: procedure, revision, phase
SELECT
    phases.procedure,
    phases.revision,
    phases.phase,
    COUNT(DISTINCT phases.shop) AS shops,
    COUNT(*) AS jobs,
    PERCENTILE_CONT(0.25) WITHIN GROUP (ORDER BY phases.worked_seconds) AS quarter_seconds,
    PERCENTILE_CONT(0.5) WITHIN GROUP (ORDER BY phases.worked_seconds) AS half_seconds,
    PERCENTILE_CONT(0.75) WITHIN GROUP (ORDER BY phases.worked_seconds) AS three_quarters_seconds,
    PERCENTILE_CONT(0.9) WITHIN GROUP (ORDER BY phases.worked_seconds) AS nine_in_ten_seconds,
    COUNT(CASE WHEN phases.worked_seconds > phases.target_seconds THEN 1 END) AS over_target
FROM phases
JOIN jobs ON jobs.shop = phases.shop AND jobs.job = phases.job
WHERE jobs.status = 'closed'
GROUP BY phases.procedure, phases.revision, phases.phase
ORDER BY phases.procedure, phases.revision, MIN(phases.place), phases.phase;

-- query: phase_times_by_shop
-- tells: The same, shop by shop
-- by: procedure, revision, phase, shop
WITH each_shop AS (
    SELECT
        phases.procedure,
        phases.revision,
        phases.phase,
        phases.shop,
        MIN(phases.place) AS place,
        COUNT(*) AS jobs,
        PERCENTILE_CONT(0.5) WITHIN GROUP (ORDER BY phases.worked_seconds) AS half_seconds,
        PERCENTILE_CONT(0.9) WITHIN GROUP (ORDER BY phases.worked_seconds) AS nine_in_ten_seconds,
        COUNT(CASE WHEN phases.worked_seconds > phases.target_seconds THEN 1 END) AS over_target
    FROM phases
    JOIN jobs ON jobs.shop = phases.shop AND jobs.job = phases.job
    WHERE jobs.status = 'closed'
    GROUP BY phases.procedure, phases.revision, phases.phase, phases.shop
),
beside_others AS (
    SELECT
        each_shop.*,
        MIN(place) OVER (PARTITION BY procedure, revision, phase) AS first_place
    FROM each_shop
)
SELECT procedure, revision, phase, shop, jobs, half_seconds, nine_in_ten_seconds, over_target
FROM beside_others
ORDER BY procedure, revision, first_place, phase, shop;

-- query: overrides_by_shop
-- tells: Overrides, shop by shop
-- by: shop
WITH job_gates AS (
    SELECT
        shop,
        job,
        COUNT(CASE WHEN reached THEN 1 END) AS reached,
        COUNT(CASE WHEN overridden THEN 1 END) AS overridden
    FROM gates
    GROUP BY shop, job
)
SELECT
    jobs.shop,
    COUNT(*) AS jobs,
    COUNT(CASE WHEN job_gates.overridden > 0 THEN 1 END) AS jobs_with_one,
    COALESCE(SUM(job_gates.reached), 0) AS gates_reached,
    COALESCE(SUM(job_gates.overridden), 0) AS gates_overridden,
    CAST(SUM(job_gates.overridden) AS DOUBLE)
        / NULLIF(SUM(job_gates.reached), 0) AS overridden_share
FROM jobs
LEFT JOIN job_gates ON job_gates.shop = jobs.shop AND job_gates.job = jobs.job
GROUP BY jobs.shop
ORDER BY jobs.shop;

-- query: findings_by_rule
-- tells: Findings, by rule
-- by: weight, rule
SELECT
    weight,
    rule,
    COUNT(DISTINCT shop) AS shops,
    COUNT(DISTINCT CASE WHEN job IS NOT NULL THEN CONCAT(shop, ' / ', job) END) AS jobs,
    COUNT(*) AS findings
FROM findings
GROUP BY weight, people, rule
ORDER BY
    CASE weight WHEN 'grave' THEN 1 WHEN 'serious' THEN 2 ELSE 3 END,
    people,
    rule;

-- query: overrides_by_person
-- tells: Overrides, by whoever gave them
-- by: shop, person
WITH given AS (
    SELECT
        shop,
        person,
        COUNT(DISTINCT job) AS jobs_with_one,
        COUNT(*) AS overrides,
        COUNT(DISTINCT CONCAT(procedure, ' / ', gate)) AS gates,
        COUNT(CASE WHEN NOT with_pin THEN 1 END) AS without_pin
    FROM overrides
    GROUP BY shop, person
),
worked AS (
    SELECT shop, person, COUNT(*) AS jobs
    FROM hands
    GROUP BY shop, person
)
SELECT
    given.shop,
    given.person,
    worked.jobs,
    given.jobs_with_one,
    given.overrides,
    given.gates,
    given.without_pin
FROM given
JOIN worked ON worked.shop = given.shop AND worked.person = given.person
ORDER BY given.shop, given.person;
